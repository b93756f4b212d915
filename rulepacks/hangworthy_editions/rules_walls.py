"""One image on one client's walls at a time."""

from datetime import date
from typing import NamedTuple

from hangworthy.contract import OWN_POLICY, Check, Effect, Kind, Process, Stage, Step, Undecided, Words, fact, given, holds, set_rule

from .images import Shown, images_of
from .limits import EditionLimits
from .works import COPY, Answers, fine, rank_of


class _Hung(NamedTuple):
    """A work on a wall; the best to keep sorts first."""

    rank: int
    ref: str
    start: date
    end: date

    def meets(self, other: "_Hung") -> bool:
        """Return whether both hang on some day."""
        return self.start <= other.end and other.start <= self.end


@set_rule(
    "one-image-one-venue",
    effect=Effect.PREPARE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=[given("hang_from")],
    uses=["fingerprint_bits"],
    words=Words(
        measure="Works of one image that hang at the same time",
        met="{note}",
        unmet="“{other}” shows the same image and hangs here on the same days.",
        remedy="We hang another work in its place, or hang it when “{other}” is down.",
        bench="{bench}",
    ),
)
def one_image_one_venue(
    limits: EditionLimits,
    works: tuple[Shown, ...],
    kinds: tuple[Kind | None, ...] = fact("kind", optional=True),
    processes: tuple[Process | None, ...] = fact("process", optional=True),
    starts: tuple[date, ...] = fact("hang_from"),
    ends: tuple[date | None, ...] = fact("hang_until", optional=True),
) -> Answers:
    """Does only one version of an image hang at a venue at a time?

    An original and its copy, or two copies, on one client's walls on the same days make each other smaller. The one to keep ranks higher,
    or comes first by its reference; the other is told. It concerns works whose days are planned; the last day is
    asked for only where several works show one image, and both where they are in the wrong order.
    """
    groups = images_of(works, limits.fingerprint_bits)
    plans: list[_Hung | None] = []
    for shown, kind, process, start, end in zip(works, kinds, processes, starts, ends, strict=True):
        rank = rank_of(kind, process)
        dated = end is not None and start <= end
        plans.append(_Hung(COPY if rank is None else rank, shown.ref, start, end) if dated and end else None)
    hung = [sorted(plan for work in members if (plan := plans[work]) is not None) for members in groups.members]
    answers: Answers = []
    for work, plan in enumerate(plans):
        if groups.alone(work):
            crowded = groups.crowded and works[work].fingerprint is not None
            answers.append(Undecided(("editions.fingerprint",)) if crowded else fine("No other work on this list shows its image."))
        elif plan is None:
            answers.append(Undecided(("hang_until",) if ends[work] is None else ("hang_from", "hang_until")))
        else:
            better = (one for group in groups.kin(work) for one in hung[group] if one < plan and one.meets(plan))
            clash = next(better, None)
            answers.append(_hangs(clash))
    return answers


def _hangs(clash: _Hung | None) -> Check:
    if clash is None:
        return fine("No other version of its image hangs here on these days.")
    return holds(False, other=clash.ref, bench=f"Same image here at the same time: {clash.ref}.")


WALL_RULES = (one_image_one_venue,)
