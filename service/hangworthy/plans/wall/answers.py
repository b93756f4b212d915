"""The answer of a wall plan."""

from typing import Literal

import msgspec

from hangworthy.contract.effect import Effect, Outcome, State
from hangworthy.contract.finding import PackUsed, VenueUsed
from hangworthy.plans.wall.model import Align, Spacing

PieceKind = Literal["gap", "work", "obstacle"]
ChangeKind = Literal["smaller-gap", "other-order", "other-height", "turn", "more-rows", "fewer-works"]


class Point(msgspec.Struct, frozen=True):
    """A hook: millimetres from the left edge of the wall, and above the floor."""

    x_mm: int
    y_mm: int


class Said(msgspec.Struct, frozen=True, omit_defaults=True):
    """A finding about a work at this wall that is not met: the rule, what it means, and the coordinator's sentence."""

    rule: str
    state: State
    effect: Effect
    sentence: str
    remedy: str = ""


class HungWork(msgspec.Struct, frozen=True, omit_defaults=True):
    """One work in its place: its outer edges from the left edge of the wall and above the floor, and its hooks.

    ``hooks_mm`` is left out where it is not known how far below its top edge the hooks sit; ``hooks_at_mm`` tells then how far along.
    ``outcome`` is what the venue's rules say of the work on this wall; ``said`` lists what is not met. ``notes`` say what to look after.
    """

    ref: str
    row: int
    left_mm: int
    right_mm: int
    bottom_mm: int
    top_mm: int
    width_mm: int
    height_mm: int
    hooks_at_mm: tuple[int, ...]
    outcome: Outcome
    at_worst: Outcome
    hooks_mm: tuple[Point, ...] = ()
    notes: tuple[str, ...] = ()
    said: tuple[Said, ...] = ()


class Piece(msgspec.Struct, frozen=True, omit_defaults=True):
    """One piece of a row, from the left edge of the wall to its right: works, what is in their way, and free wall. They add up to it."""

    kind: PieceKind
    from_mm: int
    to_mm: int
    length_mm: int
    name: str = ""


class PlannedRow(msgspec.Struct, frozen=True):
    """One row: the height of its common line, and its pieces from left to right."""

    line_mm: int
    works: tuple[str, ...]
    pieces: tuple[Piece, ...]


class Proof(msgspec.Struct, frozen=True):
    """How good the plan is: the narrowest piece that spacing makes as wide as it can be, and what no plan exceeds.

    ``proven``: no plan of this kind is better. Else ``at_most_mm`` less ``narrowest_mm`` is the gap that is left open.
    """

    narrowest_mm: int
    at_most_mm: int
    proven: bool


class Change(msgspec.Struct, frozen=True, omit_defaults=True):
    """What would let it fit, the smallest change first: its kind, a sentence, and the figure or the works that it is about."""

    kind: ChangeKind
    sentence: str
    mm: int | None = None
    works: tuple[str, ...] = ()


class WallPlan(msgspec.Struct, frozen=True, omit_defaults=True):
    """A wall plan. ``fits`` false: by how many millimetres it is too wide and too high, and what would free it, smallest change first.

    Where it fits, ``works`` has the order of the request, and ``rows`` are from the top. All lengths are whole millimetres.
    """

    fits: bool
    venue: VenueUsed
    packs: tuple[PackUsed, ...]
    wall_width_mm: int
    wall_height_mm: int
    spacing: Spacing
    align: Align
    wall_name: str | None = None
    proof: Proof | None = None
    rows: tuple[PlannedRow, ...] = ()
    works: tuple[HungWork, ...] = ()
    too_wide_mm: int = 0
    too_high_mm: int = 0
    would_fit: tuple[Change, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
