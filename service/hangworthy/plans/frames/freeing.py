"""What would free a work that stays out: each change is verified, by a frame of the plan that is free for it, or by planning again."""

from collections.abc import Iterator, Sequence
from datetime import date

import numpy as np

from hangworthy.contract import FrameFit, show
from hangworthy.plans.frames.answers import Freeing
from hangworthy.plans.frames.solver import Budget
from hangworthy.plans.frames.stages import solve
from hangworthy.plans.frames.task import Solved, Task, Way, there
from hangworthy.plans.frames.wanted import PlanWork, agreed_fits, days_of, frame_wasted, image_lost, micrometres

FARTHEST_DAYS = 91  # a work is not shifted further than a quarter of a year
MOST_AGAIN = 20  # so many times a plan is made anew for works that no free frame frees
_SHORT_SECONDS = 5.0


class Free:
    """The frames of a plan that hang empty, day by day."""

    def __init__(self, task: Task, solved: Solved) -> None:
        """Count the days of each size on which no frame is free, from the first day that matters on."""
        days = [day for work in task.works for day in (work.first, work.last)] or [1]
        self.start = min(days) - FARTHEST_DAYS - 1
        length = max(days) + FARTHEST_DAYS + 2 - self.start
        hanging = np.zeros((len(task.sizes), length), dtype=np.int64)
        for work, place in zip(task.works, solved.chosen, strict=True):
            if place is not None:
                hanging[work.ways[place].size, work.first - self.start] += 1
                hanging[work.ways[place].size, work.last + 1 - self.start] -= 1
        self._full = np.zeros((len(task.sizes), length + 1), dtype=np.int64)
        for number, size in enumerate(task.sizes):
            days_, counts = (np.array(one) for one in there(size))
            at_hand = counts[np.maximum(0, np.searchsorted(days_, self.start + np.arange(length), "right") - 1)]
            self._full[number, 1:] = np.cumsum(np.cumsum(hanging[number]) >= at_hand)

    def on(self, size: int, first: int, last: int) -> bool:
        """Return whether a frame of a size is free from one day to another."""
        return bool(self._full[size, last + 1 - self.start] == self._full[size, first - self.start])

    def shift(self, size: int, first: int, last: int) -> int | None:
        """Return the smallest shift in days that finds a free frame, later before earlier; None where none does."""
        steps = np.arange(1, FARTHEST_DAYS + 1)
        for near in np.stack([steps, -steps], 1).ravel().tolist():
            if self.on(size, first + near, last + near):
                return int(near)
        return None


def freed_by(work: PlanWork, sizes: dict[str, int], free: Free, again: "Again") -> tuple[Freeing, ...]:
    """Return what would free a work that stays out: a crop, other days, one more frame; of each kind the smallest change."""
    return tuple([*_crop(work, sizes, free, again), *_dates(work, sizes, free), *_frame(work)])


class Again:
    """Plans made anew with one change, as many as there is time for."""

    def __init__(self, task: Task, solved: Solved, budget: Budget) -> None:
        """Keep the task and what it reached. Nothing is made anew where the first objective is not proven: a gain would mean little."""
        self._task, self._hung, self._budget = task, solved.goals[0].value, budget
        self.left = MOST_AGAIN if solved.goals[0].proven else 0
        self._places = {work.ref: place for place, work in enumerate(task.works)}

    def gains(self, ref: str, way: Way) -> bool:
        """Return whether more can hang when a work has one more way."""
        if not self.left or self._budget.left <= 0:
            return False
        self.left -= 1
        place = self._places[ref]
        old = self._task.works[place]
        work = type(old)(old.ref, old.first, old.last, (*old.ways, way), old.weight, old.earlier)
        task = Task((*self._task.works[:place], work, *self._task.works[place + 1 :]), self._task.sizes)
        return solve(task, Budget(min(_SHORT_SECONDS, self._budget.left)), stages=1).goals[0].value > self._hung


def _more(fit: FrameFit) -> int:
    return sum(micrometres(side) for side in fit.more_mm)


def sides_said(sides: Sequence[float]) -> str:
    """Return millimetres side by side, those of nought left out: “3 mm more at the left and 3 mm more at the right”."""
    named = zip(sides, ("top", "right", "bottom", "left"), strict=True)
    return " and ".join(f"{show(-(-micrometres(side) // 100) / 10, 'mm')} more at the {name}" for side, name in named if side)


def _crop(work: PlanWork, sizes: dict[str, int], free: Free, again: Again) -> Iterator[Freeing]:
    first, last = days_of(work)
    for fit in sorted((one for one in work.fits if not one.agreed), key=_more):
        empty = free.on(sizes[fit.frame], first, last)
        if empty or again.gains(work.ref, Way(sizes[fit.frame], image_lost(fit), frame_wasted(fit))):
            says = f"Agree to crop {sides_said(fit.more_mm)}: then a frame “{fit.frame}” takes it on these days."
            yield Freeing(
                kind="crop", frame=fit.frame, says=says, proof="free-frame" if empty else "planned-again", more_mm=fit.more_mm
            )  # fmt: skip
            return


def _dates(work: PlanWork, sizes: dict[str, int], free: Free) -> Iterator[Freeing]:
    first, last = days_of(work)
    found = []
    for fit in agreed_fits(work):
        shift = free.shift(sizes[fit.frame], first, last)
        if shift is not None:
            found.append((abs(shift), shift < 0, image_lost(fit), frame_wasted(fit), fit.frame, shift))
    if found:
        *_, frame, shift = min(found)
        days = date.fromordinal(first + shift), date.fromordinal(last + shift)
        count = f"{abs(shift)} day{'s' if abs(shift) > 1 else ''} {'later' if shift > 0 else 'earlier'}"
        says = f"Hang it {count}, from {days[0]} to {days[1]}: then a frame “{frame}” is free."
        yield Freeing(kind="dates", frame=frame, says=says, proof="free-frame", days=shift, hang_from=days[0], hang_until=days[1])


def _frame(work: PlanWork) -> Iterator[Freeing]:
    fits = agreed_fits(work)
    if fits:
        fit = min(fits, key=lambda one: (image_lost(one), frame_wasted(one), one.frame))
        says = f"With one more frame “{fit.frame}” it would hang as asked."
        yield Freeing(kind="frame", frame=fit.frame, says=says, proof="free-frame")  # the new frame itself is free
