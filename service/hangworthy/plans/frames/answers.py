"""What a frame plan answers."""

from datetime import date
from typing import Literal

import msgspec

from hangworthy.contract import Four

How = Literal["whole", "matted", "cropped"]
Why = Literal["outnumbered", "fits-none", "not-known", "own-frame", "no-sheet"]
UNITS = {"hung": "works", "image_lost": "0.01 % of a sheet", "frame_wasted": "cm2", "changes": "works"}


class FrameGiven(msgspec.Struct, frozen=True, kw_only=True):
    """One work in a frame: which, from when to when, how, and what goes at the top, right, bottom and left."""

    ref: str
    frame: str
    number: int
    hang_from: date
    hang_until: date
    how: How
    turned: bool
    crop_mm: Four
    image_lost_percent: float
    frame_wasted_cm2: int


class Freeing(msgspec.Struct, frozen=True, kw_only=True):
    """One change that would hang a work that stays out: a crop to agree to, other days, or one more frame. It has been verified.

    ``proof``: “free-frame” where a frame of the plan is free for it, so that no other work is touched; “planned-again” where the plan
    was made anew with the change, and more could hang.
    """

    kind: Literal["crop", "dates", "frame"]
    frame: str
    says: str
    proof: Literal["free-frame", "planned-again"]
    more_mm: Four | None = None
    days: int | None = None
    hang_from: date | None = None
    hang_until: date | None = None


class StaysOut(msgspec.Struct, frozen=True, kw_only=True):
    """One work without a frame: why, and what would free it, the smallest change first.

    “own-frame” and “no-sheet”: it needs none of the stock, since it has its own, or is no work that packs put into stock frames.
    """

    ref: str
    why: Why
    says: str
    missing: tuple[str, ...] = ()
    freed_by: tuple[Freeing, ...] = ()


class Objective(msgspec.Struct, frozen=True, kw_only=True):
    """One objective: what the plan reaches, the bound that no plan passes (null: not reached in time), and the gap between them."""

    name: str
    value: int
    unit: str
    bound: int | None
    gap: int | None
    proven: bool


class OneMore(msgspec.Struct, frozen=True, kw_only=True):
    """What one more frame of a size would bring, by planning again: weight and works gained, and whether no plan could gain more.

    Null: there was no time for it.
    """

    frame: str
    works_gained: int | None
    weight_gained: int | None
    proven: bool


class FrameAway(msgspec.Struct, frozen=True, kw_only=True):
    """One frame that is away, and when."""

    frame: str
    number: int
    away_from: date
    away_until: date


class FramePlan(msgspec.Struct, frozen=True, kw_only=True):
    """A frame plan. ``best`` says whether every objective is proven; ``kept_numbers`` counts works that keep the very frame they had."""

    venue: str
    best: bool
    says: str
    objectives: tuple[Objective, ...]
    hangs: tuple[FrameGiven, ...]
    stays_out: tuple[StaysOut, ...]
    away: tuple[FrameAway, ...]
    one_more: tuple[OneMore, ...]
    kept_numbers: int
    checked: bool
