"""What a frame plan is asked about, read and with every pack's word on which frames take which work: all that a worker needs."""

from collections.abc import Sequence
from datetime import date
from typing import Annotated

import msgspec
from msgspec import Meta

from hangworthy.contract import FrameFit
from hangworthy.plans.frames.task import Away, Size, Task, Wanted, Way

Name = Annotated[str, Meta(min_length=1, max_length=80)]
Number = Annotated[int, Meta(ge=1, le=10_000)]


class FramesAway(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Frames of one size that are away, from one day to another, both included."""

    frame: Name
    away_from: date
    away_until: date
    count: Number = 1


class Earlier(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Which frame a work had in an earlier plan: the size, and the frame's number where it is known."""

    ref: Name
    frame: Name
    number: Number | None = None


class PlanWork(msgspec.Struct, frozen=True, kw_only=True):
    """One work: its days, what hanging it counts, how it goes into which sizes, and what is not known of it (pointers).

    ``framed``: it has a frame of its own. ``no_sheet``: packs say how works go into stock frames, and none says it of its kind.
    """

    ref: str
    hang_from: date | None = None
    hang_until: date | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    weight: int = 1
    fits: tuple[FrameFit, ...] = ()
    missing: tuple[str, ...] = ()
    framed: bool = False
    no_sheet: bool = False

    @property
    def needs_none(self) -> bool:
        """Whether it hangs without a frame of the stock."""
        return self.framed or self.no_sheet


class PlanFrame(msgspec.Struct, frozen=True, kw_only=True):
    """One size of the stock."""

    name: str
    count: int
    width_mm: float
    height_mm: float


class PlanInput(msgspec.Struct, frozen=True, kw_only=True):
    """All that a plan is made from. ``seconds`` is the time limit."""

    venue: str
    works: tuple[PlanWork, ...]
    frames: tuple[PlanFrame, ...]
    away: tuple[FramesAway, ...] = ()
    earlier: tuple[Earlier, ...] = ()
    seconds: float = 20.0


def micrometres(length_mm: float) -> int:
    """Return a length as a whole number of micrometres."""
    return round(length_mm * 1000)


def area(sides: tuple[float, float]) -> int:
    """Return an area in square micrometres."""
    return micrometres(sides[0]) * micrometres(sides[1])


def image_lost(fit: FrameFit) -> int:
    """Return the share of the work that a fit takes out of view, in hundredths of a percent, rounded up."""
    whole = area(fit.whole_mm)
    return -(-(whole - area(fit.shown_mm)) * 10_000 // whole)


def frame_wasted(fit: FrameFit) -> int:
    """Return how much of a frame shows no work, in square centimetres, rounded up; 0 where the work fills it."""
    return max(0, -(-(area(fit.inner_mm) - area(fit.shown_mm)) // 10**8))


def ordered(given: PlanInput) -> PlanInput:
    """Return the same input with works, frames and lists in an order of their own, so that no plan depends on how they were listed."""
    return msgspec.structs.replace(
        given,
        works=tuple(map(_fits_in_order, sorted(given.works, key=lambda one: one.ref))),
        frames=tuple(sorted(given.frames, key=lambda one: (area((one.width_mm, one.height_mm)), one.name))),
        away=tuple(sorted(given.away, key=lambda one: (one.frame, one.away_from, one.away_until, one.count))),
        earlier=tuple(sorted(given.earlier, key=lambda one: one.ref)),
    )


def _fits_in_order(work: PlanWork) -> PlanWork:
    return msgspec.structs.replace(work, fits=tuple(sorted(work.fits, key=lambda fit: fit.frame)))


def agreed_fits(work: PlanWork) -> list[FrameFit]:
    """Return the fits that a plan may use."""
    return [fit for fit in work.fits if fit.agreed]


def days_of(work: PlanWork) -> tuple[int, int]:
    """Return the first and the last day of a work that is planned, as numbers. Raises ValueError for one without days."""
    if work.hang_from is None or work.hang_until is None:
        raise ValueError("a work without days is not planned")
    return work.hang_from.toordinal(), work.hang_until.toordinal()


def wanted(work: PlanWork, fits: Sequence[FrameFit], sizes: dict[str, int], earlier: str | None) -> Wanted:
    """Return a work as the solver sees it."""
    first, last = days_of(work)
    ways = tuple(Way(sizes[fit.frame], image_lost(fit), frame_wasted(fit)) for fit in fits)
    return Wanted(work.ref, first, last, ways, work.weight, None if earlier is None else sizes.get(earlier, -1))


def planned(given: PlanInput) -> list[PlanWork]:
    """Return the works that compete for frames: loose ones, whose days are known."""
    return [work for work in given.works if not work.needs_none and not work.missing and work.hang_from and work.hang_until]


def task_of(given: PlanInput) -> Task:
    """Return the task of an input whose lists are in order: one work of the solver for each that is planned, with its agreed fits."""
    sizes = {frame.name: place for place, frame in enumerate(given.frames)}
    earlier = {one.ref: one.frame for one in given.earlier}
    away: dict[str, list[Away]] = {}
    for one in given.away:
        away.setdefault(one.frame, []).append(Away(one.away_from.toordinal(), one.away_until.toordinal(), one.count))
    return Task(
        tuple(wanted(work, agreed_fits(work), sizes, earlier.get(work.ref)) for work in planned(given)),
        tuple(Size(frame.name, frame.count, tuple(away.get(frame.name, ()))) for frame in given.frames),
    )
