"""Several works on one wall: where each hook goes, and how much of the wall they cover."""

from collections.abc import Sequence
from typing import Any, Final, NamedTuple

from hangworthy.contract import (
    CAUTION_WEIGHT,
    COMMON_PRACTICE,
    Check,
    Effect,
    RoomKind,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    published,
    set_rule,
    show,
    show_apart,
    where,
)

from .formulas import covered_share, hook_height, hook_places, row_end, row_layout
from .hung import Hooks, between
from .limits import HangingLimits
from .rules_close import hung_middle
from .size import HANGS, Outer, Size, outer

CAUTION_FIRE: Final = "This informs and gives no legal advice. The fire code in force and the local fire authority decide."


class Placed(NamedTuple):
    """What tells a work's place in a row, and where its hooks sit."""

    ref: str = fact("ref")
    position: int | None = fact("hanging.position", optional=True)
    drop: float | None = fact("fittings.drop_mm", optional=True)


class RowWall(NamedTuple):
    """The wall that a row hangs on."""

    width: float = fact("wall.width_mm")
    gap: float | None = fact("wall.row_gap_mm", optional=True)


class CareRoom(NamedTuple):
    """What fire codes ask of a wall in a clinic or a patient room."""

    width: float = fact("wall.width_mm")
    height: float = fact("wall.height_mm")
    kind: RoomKind = fact("wall.room")
    sprinklered: bool | None = fact("wall.sprinklered", optional=True)
    sleepers: int | None = fact("wall.sleepers", optional=True)


Answer = Check | Undecided


def _waiting(refs: Sequence[str], found: Sequence[Outer | Undecided]) -> list[Answer]:
    """Return the answers while the sizes of some works are not known: those ask, the others wait for them."""
    lacking = tuple(ref for ref, one in zip(refs, found, strict=True) if isinstance(one, Undecided))
    return [one if isinstance(one, Undecided) else Undecided(others=lacking) for one in found]


@set_rule(
    "hook-places",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=COMMON_PRACTICE,
    due=Stage.HANGING,
    among=("wall_name",),
    applies=HANGS,
    uses=["row_end_mm", "centre_mm", "above_floor_mm"],
    cautions=[CAUTION_WEIGHT],
    words=Words(
        measure="Free wall at each end of the row",
        met="Your work has its place on the wall: {nth} of {count}, counted from the left.",
        unmet="The works chosen for this wall are too wide to hang in one row.",
        remedy="We move one of them to another wall, or hang them closer together.",
        better="Measure the frames and the free wall once more with one steel tape.",
        bench="{place}",
    ),
)
def hook_places_in_row(
    limits: HangingLimits, placed: tuple[Placed, ...], sizes: tuple[Size, ...], hooks: tuple[Hooks, ...], walls: tuple[RowWall, ...]
) -> list[Answer]:
    """Where on the wall do the hooks go?

    All works of one wall hang in one row, by their place in it and then by reference, their middles at one height. Gaps are equal, at the
    ends too, or as wide as the wall asks for, with the row in its middle. Edges, gaps and hooks are whole millimetres that add up to the
    wall. The row passes while the limit is left free at each end; a work more can only make it less.
    """
    refs, wall, found = [one.ref for one in placed], walls[0], [outer(one) for one in sizes]
    known = [one for one in found if isinstance(one, Outer)]
    end = row_end(wall.width, [one.width for one in known], wall.gap) if known else limits.row_end_mm
    fits = end >= limits.row_end_mm
    if fits and len(known) < len(found):
        return _waiting(refs, found)
    order = in_order(placed)
    lefts = lefts_of(wall, [known[at].width for at in order]) if fits else ()
    if not lefts:
        named: dict[str, Any] = {
            "place": _too_wide(len(known), end, limits.row_end_mm, wall.gap),
            "nth": 0,
            "count": len(known),
        }
        wide = Check(False, end, low=limits.row_end_mm, unit="mm", named=named)
        return [one if isinstance(one, Undecided) else wide for one in found]
    answers: dict[int, Answer] = {}
    for nth, (at, left) in enumerate(zip(order, lefts, strict=True), 1):
        place = place_of(limits, known[at], placed[at].drop, hooks[at], left)
        named = {"place": place if isinstance(place, Undecided) else _told(place), "nth": nth, "count": len(known)}
        answers[at] = place if isinstance(place, Undecided) else at_least(end, limits.row_end_mm, unit="mm", **named)
    return [answers[at] for at in range(len(refs))]


def _too_wide(count: int, end: float, least: float, gap: float | None) -> str:
    """Return by how much a row is too wide for its wall, in words, from what it leaves free at each end [mm]."""
    over = -end * (count + 1 if gap is None else 2)  # as many free pieces of wall are as wide as an end
    if over > 0.0:
        return f"The row of {count} is {show(over, 'mm')} wider than the wall."
    if end < least:
        left, needed = show_apart(end, least, "mm")
        return f"The row of {count} leaves {left} at each end of the wall, and {needed} is needed."
    return f"The row of {count} is as wide as the wall, to the millimetre."


def in_order(placed: Sequence[Placed]) -> list[int]:
    """Return the works of a row from left to right, by their index: by place, then by reference."""
    return sorted(range(len(placed)), key=lambda at: (placed[at].position is None, placed[at].position or 0, placed[at].ref))


def lefts_of(wall: RowWall, widths: Sequence[float]) -> tuple[int, ...]:
    """Return the left edge of each work from the left edge of the wall [mm], or nothing where the row does not fit."""
    try:
        return row_layout(wall.width, widths, wall.gap).lefts_mm
    except ValueError:  # it may fit by less than what rounding to whole millimetres takes
        return ()


class Place(NamedTuple):
    """Where one work hangs: its left edge and its hooks from the left edge of the wall, and the height of the hooks [mm]."""

    left: int
    hooks: tuple[int, ...]
    height: int


def place_of(limits: HangingLimits, own: Outer, drop: float | None, hooks: Hooks, left: int) -> Place | Undecided:
    """Return where one work and its hooks go, or what would tell it."""
    apart, points = between(hooks), hooks.points
    if isinstance(apart, Undecided) or points is None:
        return apart if isinstance(apart, Undecided) else Undecided(("hanging.points",))
    if drop is None or drop > own.height:
        return Undecided(("fittings.drop_mm",))
    if apart > own.width:
        return Undecided(("hanging.hook_spacing_mm",))
    height = round(hook_height(hung_middle(limits, own.height), own.height, drop))
    return Place(left, hook_places(left, own.width, points, apart), height)


def _told(place: Place) -> str:
    """Return where the hooks of one work go, in words."""
    places = [f"{one} mm" for one in place.hooks]
    along = places[0] if len(places) == 1 else f"{', '.join(places[:-1])} and {places[-1]}"
    hook = "Hook" if len(places) == 1 else "Hooks"
    return f"{hook} {place.height} mm above the floor, {along} from the left edge of the wall; left edge of the work at {place.left} mm."


@set_rule(
    "wall-share",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=published("NFPA 101 (2012)", "18/19.7.5.6(4)"),
    due=Stage.HANGING,
    among=("wall_name",),
    applies=(*HANGS, where("wall.room", "patient-room", "clinic")),
    uses=["covered_percent", "covered_sprinklered_percent", "covered_patient_percent", "small_room_sleepers"],
    cautions=[CAUTION_FIRE],
    words=Words(
        measure="Share of the wall covered",
        met="The works on this wall cover little enough of it.",
        unmet="The works chosen for this wall cover {value} of it; {limit} is usual in health care.",
        remedy="We ask the fire officer, or hang fewer works on this wall.",
    ),
)
def wall_share(
    limits: HangingLimits, sizes: tuple[Size, ...], rooms: tuple[CareRoom, ...], refs: tuple[str, ...] = fact("ref")
) -> list[Answer]:
    """Do the works cover little enough of a wall in a clinic or a patient room?

    The outer areas of all works on one wall over its area, against the share that combustible decorations may cover: less without
    sprinklers, more with them, most in patient rooms of a few with them. Sprinklers and patients are asked for only when they matter.
    Walls are not pooled. This informs; a work behind glass or on metal may not count as combustible, and local codes decide.
    """
    room, found = rooms[0], [outer(one) for one in sizes]
    areas = [one.width * one.height / 1e6 for one in found if isinstance(one, Outer)]
    share = covered_share(areas, room.width * room.height / 1e6)
    usual = _usual(limits, room)
    if share <= max(usual) and len(areas) < len(found):
        return _waiting(refs, found)
    if min(usual) < share <= max(usual):
        missing = {"wall.sprinklered": room.sprinklered} | ({"wall.sleepers": room.sleepers} if room.kind == "patient-room" else {})
        ask = Undecided(tuple(path for path, value in missing.items() if value is None))
        return [ask for _ in found]
    check = at_most(share, min(usual) if share <= min(usual) else max(usual), unit="%")
    return [one if isinstance(one, Undecided) else check for one in found]


def _usual(limits: HangingLimits, room: CareRoom) -> list[float]:
    """Return the shares that may be covered, as far as the room is known [%]."""
    few = room.sleepers is None or room.sleepers <= limits.small_room_sleepers
    many = room.kind != "patient-room" or room.sleepers is None or not few
    usual = [] if room.sprinklered else [limits.covered_percent]
    if room.sprinklered is not False:
        usual += [limits.covered_sprinklered_percent] if many else []
        usual += [limits.covered_patient_percent] if few and room.kind == "patient-room" else []
    return usual


ROW_RULES = (hook_places_in_row, wall_share)
