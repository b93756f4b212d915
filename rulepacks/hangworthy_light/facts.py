"""What only this pack asks, of a work and of a wall."""

from typing import Literal

from hangworthy.contract import Section, ask

Category = Literal["I", "II", "III", "IV", "V"]
Responsivity = Literal["R0", "R1", "R2", "R3"]
Fading = Literal["none", "felt-pen", "ballpoint", "dye-ink", "fluorescent", "tinted-paper", "newsprint", "plant-dye"]
Colour = tuple[float, float, float]
_LAB = "Three numbers, L*, a*, b*, from a colour meter on the same marked spot; L* first."


class LightFacts(Section):
    """How the colours of a work stand up to light, and how much they have had."""

    responsivity: Responsivity = ask(
        "Light class",
        "In which class of responsivity to light did a conservator put it?",
        "R0 none, R1 low, R2 medium, R3 high, as CIE 157 names them. Leave it empty if nobody has judged it.",
        asked_of="coordinator",
    )
    blue_wool: float = ask(
        "Lightfastness (Blue Wool)",
        "Which step of the Blue Wool scale has the colour that fades first?",
        "From 1 (fades first) to 8; look at the maker's chart for each ink or dye and give the lowest.",
        lo=1,
        hi=8,
    )
    paint_category: Category = ask(
        "Lightfastness of the paint",
        "What is the lowest lightfastness category on your tubes or pencils?",
        "ASTM I to V, printed on the label; I lasts longest. Give the worst of all colours used.",
    )
    fading_materials: tuple[Fading, ...] = ask(
        "Colours that fade",
        "Are any of these in it?",
        "Felt pen, ballpoint, dye ink, fluorescent colours, tinted paper, newsprint, plant dyes. Choose none when there are none.",
    )
    uv_glazing: bool = ask("Ultraviolet glazing", "Does its pane filter ultraviolet?", "It says so on the maker's sticker or invoice.")
    exposure_lx_hours: float = ask(
        "Light so far",
        "How much light has it had on show so far?",
        "Add up lux times hours of every earlier stay.",
        lo=0,
        hi=1e10,
        asked_of="coordinator",
    )
    exposure_year_lx_hours: float = ask(
        "Light in the last year",
        "How much light has it had on show in the last twelve months?",
        "Add up lux times hours of the stays in that time.",
        lo=0,
        hi=1e9,
        asked_of="coordinator",
    )
    colour_before: Colour = ask(
        "Colour before", "What was the colour of the marked spot before it was hung?", _LAB, lo=-150, hi=150, asked_of="coordinator"
    )
    colour_now: Colour = ask("Colour now", "What is the colour of the marked spot now?", _LAB, lo=-150, hi=150, asked_of="coordinator")


class LightWallFacts(Section):
    """The light on a wall."""

    lit_days_per_year: float = ask(
        "Days with light",
        "On how many days a year is it lit?",
        "An office that is dark at weekends has about 250; a corridor that is never dark has 365.",
        lo=0,
        hi=366,
        asked_of="coordinator",
    )
    sun_hours: float = ask(
        "Hours of sun",
        "How many hours a day does direct sun fall on it?",
        "The mean over the months of the stay, measured where the work will hang.",
        lo=0,
        hi=24,
        asked_of="coordinator",
    )
    uv_uw_lm: float = ask(
        "Ultraviolet",
        "How much ultraviolet is in the light?",
        "Read a UV meter on the wall, by day, in µW/lm.",
        lo=0,
        hi=5_000,
        asked_of="coordinator",
    )
    uv_filtered: bool = ask(
        "Ultraviolet filtered",
        "Is ultraviolet kept out?",
        "Yes with filter film on the windows, or with no daylight and only LED lamps.",
        asked_of="coordinator",
    )
