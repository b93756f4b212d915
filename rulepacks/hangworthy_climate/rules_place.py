"""The place: rooms that are never right, and sources of heat."""

from collections.abc import Mapping
from typing import Final

from hangworthy.contract import (
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Kind,
    RoomKind,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    fact,
    holds,
    rule,
)

from .facts import HeatSource
from .limits import ClimateLimits
from .sensitivity import WATER_TAKING

_ROOMS: Final[Mapping[RoomKind, str]] = {
    "kitchen": "a kitchen, where steam and grease settle on it",
    "bathroom": "a bathroom, where steam settles on it",
    "pool": "a pool hall, where damp and chlorine get at it",
}


@rule(
    "room",
    effect=(Effect.ADVISE, Effect.PREPARE),
    step=Step.HANG,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    another_wall=True,
    words=Words(
        measure="Kind of room",
        met="The room is not one where steam, grease or chlorine get at works.",
        unmet="Your work would hang in {place}.",
        remedy={
            Effect.PREPARE: "We look for a wall in another room; such rooms are never right for wood, paper, canvas or cloth.",
            Effect.ADVISE: "We look for another room, unless you can tell us that its surface and fittings stand steam and rust.",
        },
        bench="Kind of room: {room}.",
    ),
)
def room(where_it_hangs: RoomKind = fact("wall.room"), kind: Kind = fact("kind", try_each=True)) -> Check:
    """Does it hang outside of kitchens, bathrooms and pools?

    Declared. Steam, grease and chlorine spoil what takes up water, however mild the mean of a month looks: such works need another room. Of
    sculptures and others it is advice, since metal and stone may stand it.
    """
    effect = Effect.PREPARE if kind in WATER_TAKING else Effect.ADVISE
    return holds(where_it_hangs not in _ROOMS, effect=effect, place=_ROOMS.get(where_it_hangs, ""), room=where_it_hangs)


_SOURCES: Final[Mapping[HeatSource, str]] = {
    "radiator": "a radiator",
    "air-vent": "an air vent",
    "lamp": "a hot lamp",
    "fireplace": "a fireplace",
    "stove": "a stove",
    "other": "a source of heat",
}
_FIRES: Final = ("fireplace", "stove")


@rule(
    "heat",
    effect=(Effect.ADVISE, Effect.PREPARE),
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["heat_distance_mm"],
    words=Words(
        measure="Distance from heat",
        met="Your work hangs far enough from any source of heat.",
        unmet="Your work would hang {value} from {source}; {limit} or more keeps it from drying out.",
        remedy={
            Effect.ADVISE: "We hang it further along the wall, or have a shelf put above the heat that turns the warm air away.",
            Effect.PREPARE: "We look for another wall: soot and heat rise from a fire.",
        },
    ),
)
def heat(
    limits: ClimateLimits,
    source: HeatSource = fact("wall.heat_source"),
    distance: float | None = fact("wall.heat_distance_mm", optional=True),
) -> Check | Undecided:
    """Does it hang far enough from heat?

    The distance from radiators, vents, lamps and fires, which passes from the limit up; none passes at once. Above a fire it needs another
    wall, near the others it is advice.
    """
    if source == "none":
        return holds(True)
    if distance is None:
        return Undecided(("wall.heat_distance_mm",))
    effect = Effect.PREPARE if source in _FIRES else Effect.ADVISE
    return at_least(distance, limits.heat_distance_mm, unit="mm", effect=effect, source=_SOURCES[source])


PLACE_RULES = (room, heat)
