"""The answer of a replacement."""

from typing import Literal

import msgspec

from hangworthy.contract.effect import Effect, Outcome, Stage
from hangworthy.contract.finding import PackUsed, VenueUsed

WhyNot = Literal["not-fit", "wall", "clash", "place", "not-known"]
Who = Literal["artist", "coordinator"]


class Reason(msgspec.Struct, frozen=True, omit_defaults=True):
    """Why a work is not offered: the kind, the rule if one says so, what it means, the sentence, and the work that it clashes with.

    “not-fit”: a finding of its own. “wall”: one that only another wall mends, whatever is done to the work. “clash”: only beside the works
    that stay. “place”: it is larger than the place, or the wall. “not-known”: its size is not known, or cannot be.
    """

    kind: WhyNot
    sentence: str
    rule: str = ""
    effect: Effect | None = None
    beside: str = ""
    remedy: str = ""


class ToDo(msgspec.Struct, frozen=True, omit_defaults=True):
    """What has to be done before a work can hang, the rule that says so, and who does it. Remedies are worded for the coordinator."""

    rule: str
    sentence: str
    remedy: str
    asked_of: Who


class Offer(msgspec.Struct, frozen=True, omit_defaults=True):
    """A work that could hang there, with its place in the ranking, and why.

    ``spends``: the largest share of a limit that hanging it uses up for good, as light does; left out where that is not known.
    ``still_to_ask`` names facts that are not known and could change the answer to ``at_worst``.
    """

    rank: int
    ref: str
    outcome: Outcome
    at_worst: Outcome
    settled: bool
    reasons: tuple[str, ...]
    title: str = ""
    spends: float | None = None
    to_do: tuple[ToDo, ...] = ()
    still_to_ask: tuple[str, ...] = ()


class NotOffered(msgspec.Struct, frozen=True, omit_defaults=True):
    """A work that is not offered, and every reason."""

    ref: str
    outcome: Outcome
    reasons: tuple[Reason, ...]
    title: str = ""


class Replacement(msgspec.Struct, frozen=True):
    """The works that could hang there, best first, and those that could not, by ref. ``left_off``: further offers beyond ``most``."""

    venue: VenueUsed
    packs: tuple[PackUsed, ...]
    wall_name: str
    stage: Stage
    offers: tuple[Offer, ...]
    not_offered: tuple[NotOffered, ...]
    left_off: int
    cautions: tuple[str, ...]
