"""The venue: walls, conditions, frame stock, and what it says about packs and limits."""

from decimal import Decimal
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from hangworthy.contract.facts import Section, ask
from hangworthy.contract.work import GlazingMaterial

WallBuild = Literal["plasterboard", "plasterboard-on-studs", "brick", "concrete", "wood", "glass", "rail", "other"]
RoomKind = Literal[
    "office",
    "corridor",
    "lobby",
    "guest-room",
    "patient-room",
    "clinic",
    "school",
    "kitchen",
    "bathroom",
    "pool",
    "other",
]
_MEASURE_WALL = "Measure the free wall between doors, corners and furniture."


class WallFacts(Section):
    """One wall, or the conditions that hold for all walls of the venue."""

    width_mm: float = ask("Wall width", "How wide is the free wall?", _MEASURE_WALL, lo=100, hi=200_000, asked_of="coordinator")
    height_mm: float = ask("Wall height", "How high is the free wall?", _MEASURE_WALL, lo=100, hi=50_000, asked_of="coordinator")
    build: WallBuild = ask("Wall build", "What is the wall built of?", "Knock; ask the building manager.", asked_of="coordinator")
    room: RoomKind = ask("Room", "What kind of room is it?", asked_of="coordinator")
    walkway: bool = ask("Walkway", "Do people walk along it?", asked_of="coordinator")
    above_people: bool = ask("Above people", "Do people sit, lie or sleep below it?", asked_of="coordinator")
    outer_wall: bool = ask("Outer wall", "Is it an outer wall?", asked_of="coordinator")
    surface_c: float = ask(
        "Wall surface",
        "How cold does its surface get?",
        "Infrared thermometer, winter.",
        lo=-30,
        hi=60,
        asked_of="coordinator",
    )
    temp_c: float = ask("Room temperature", "How warm is the room?", "Mean of a logged month.", lo=-10, hi=50, asked_of="coordinator")
    rh_percent: float = ask(
        "Room humidity",
        "What is the relative humidity of the room?",
        "Mean of a month on a logger at the wall.",
        lo=0,
        hi=100,
        asked_of="coordinator",
    )
    illuminance_lx: float = ask(
        "Light",
        "How much light falls on the wall?",
        "Lux meter flat on the wall, at noon.",
        lo=0,
        hi=200_000,
        asked_of="coordinator",
    )
    light_hours: float = ask("Hours of light", "How many hours a day is it lit?", lo=0, hi=24, asked_of="coordinator")
    direct_sun: bool = ask("Direct sun", "Does the sun ever fall on it?", asked_of="coordinator")


Millimetres = Annotated[float, Meta(gt=0, le=20_000)]


class StockFrame(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One size of the programme's shared frames: inner (sheet) size, window range, depth, glazing and how many there are."""

    name: Annotated[str, Meta(min_length=1, max_length=80)]
    width_mm: Millimetres
    height_mm: Millimetres
    rebate_depth_mm: Millimetres = 10.0
    window_width_mm: Millimetres | None = None
    window_height_mm: Millimetres | None = None
    glazing: GlazingMaterial = "acrylic"
    count: Annotated[int, Meta(ge=0, le=10_000)] = 1


class ExchangeRate(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one unit of a currency is worth in another: the programme's own rate, since prices in two currencies compare no other way."""

    currency: Annotated[str, Meta(pattern=r"^[A-Z]{3}$(?!\n)", max_length=3)]
    worth: Annotated[Decimal, Meta(description="Above 0, as text, so that no digit is lost.")]
    of: Annotated[str, Meta(pattern=r"^[A-Z]{3}$(?!\n)", max_length=3)]

    @property
    def name(self) -> str:
        """How findings show it."""
        return f"1 {self.currency} = {self.worth} {self.of}"


VENUE_LISTS: dict[str, tuple[Any, str]] = {
    "frames": (tuple[StockFrame, ...], "Frame stock"),
    "rates": (tuple[ExchangeRate, ...], "Exchange rates"),
}


class Override(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A venue's own value for a limit, in text with its unit, and the reason for it."""

    value: float | str
    reason: Annotated[str, Meta(min_length=3, max_length=500)]


class Guard(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The probabilities between which a finding is borderline (JCGM 106:2012, guard bands; the figures are own policy)."""

    low: Annotated[float, Meta(ge=0, le=0.5)] = 0.05
    high: Annotated[float, Meta(ge=0.5, le=1)] = 0.95
