"""What only this pack asks, of a work and of a wall."""

from typing import Literal

from hangworthy.contract import Section, ask

Support = Literal["solid-wood", "plywood", "mdf", "cardboard", "paper", "metal", "glass", "stone", "ceramic", "plastic", "other"]
HeatSource = Literal["none", "radiator", "air-vent", "lamp", "fireplace", "stove", "other"]
_LOGGER = "From a year on a logger at the wall."


class ClimateFacts(Section):
    """What a work is made on."""

    support: Support = ask(
        "Support", "What is it made on or of?", "Look at the edge and the back: planks, layers, pressed fibres, card, paper, metal."
    )


class ClimateWallFacts(Section):
    """The air and the heat at a wall, beyond its monthly means."""

    outdoor_c: float = ask(
        "Cold days outdoors",
        "How cold does it get outdoors in an ordinary winter?",
        "The mean of the coldest days, from the weather service.",
        lo=-60,
        hi=40,
        asked_of="coordinator",
    )
    heat_source: HeatSource = ask(
        "Heat source", "Is there a source of heat below or near it?", "Below, beside or shining on the work.", asked_of="coordinator"
    )
    heat_distance_mm: float = ask(
        "Distance of the heat",
        "How far is the work from the source of heat?",
        "From the nearest edge of the work.",
        lo=0,
        hi=20_000,
        asked_of="coordinator",
    )
    rh_year_low_percent: float = ask(
        "Lowest humidity", "What is the lowest humidity of the year?", _LOGGER, lo=0, hi=100, asked_of="coordinator"
    )
    rh_year_high_percent: float = ask(
        "Highest humidity", "What is the highest humidity of the year?", _LOGGER, lo=0, hi=100, asked_of="coordinator"
    )
    rh_day_swing_percent: float = ask(
        "Swing of humidity",
        "How far does the humidity stray from the mean of the day?",
        "Up or down, whichever is more, on all but a few days.",
        lo=0,
        hi=100,
        asked_of="coordinator",
    )
    temp_year_low_c: float = ask(
        "Lowest temperature", "What is the lowest room temperature of the year?", _LOGGER, lo=-30, hi=50, asked_of="coordinator"
    )
    temp_year_high_c: float = ask(
        "Highest temperature", "What is the highest room temperature of the year?", _LOGGER, lo=-30, hi=60, asked_of="coordinator"
    )
    temp_day_swing_k: float = ask(
        "Swing of temperature",
        "How far does the temperature stray from the mean of the day?",
        "Up or down, whichever is more, on all but a few days.",
        lo=0,
        hi=60,
        asked_of="coordinator",
    )
