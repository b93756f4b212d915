"""Making a frame plan: from the input to the checked answer. Pure but for the clock of the time limit."""

from collections.abc import Iterator
from datetime import date

import msgspec

from hangworthy.plans.frames.answers import UNITS, FrameAway, FrameGiven, FramePlan, How, Objective, OneMore, StaysOut
from hangworthy.plans.frames.checker import check
from hangworthy.plans.frames.freeing import Again, Free, freed_by
from hangworthy.plans.frames.handing import Gone, hand_out
from hangworthy.plans.frames.solver import Budget
from hangworthy.plans.frames.stages import Progress, solve
from hangworthy.plans.frames.task import Goal, Solved, Task
from hangworthy.plans.frames.wanted import PlanInput, PlanWork, agreed_fits, frame_wasted, image_lost, ordered, planned, task_of

_PLAN_SHARE = 0.7  # of the time limit; the rest is for what would free works, and what to buy


def make_plan(given: PlanInput, progress: Progress = lambda share: None) -> FramePlan:
    """Return the checked plan of an input. Raises BadPlan if the checker finds anything wrong with it."""
    given = ordered(given)
    whole = Budget(given.seconds)
    task = task_of(given)
    solved = solve(task, Budget(given.seconds * _PLAN_SHARE), lambda share: progress(share * 0.6))
    works = planned(given)
    places = {work.ref: place for place, work in enumerate(works)}
    numbers = {places[one.ref]: one.number for one in given.earlier if one.number and one.ref in places}
    handed, gone = hand_out(task, solved.chosen, numbers)
    bought = _one_more(task, solved, whole, progress)
    hangs = tuple(_hung(works, task, solved, handed))
    plan = FramePlan(
        venue=given.venue,
        best=all(goal.proven for goal in solved.goals),
        says=_said(solved, len(hangs), sum(not work.needs_none for work in given.works)),
        objectives=tuple(map(_objective, solved.goals)),
        hangs=hangs,
        stays_out=tuple(_out(given, task, solved, Again(task, solved, whole))),
        away=tuple(_away(task, gone)),
        one_more=bought,
        kept_numbers=sum(_keeps(task, solved, place) and handed[place] == number for place, number in numbers.items()),
        checked=True,
    )
    check(given, plan)
    progress(1.0)
    return plan


def _objective(goal: Goal) -> Objective:
    return Objective(name=goal.name, value=goal.value, unit=UNITS[goal.name], bound=goal.bound, gap=goal.gap, proven=goal.proven)


def _keeps(task: Task, solved: Solved, place: int) -> bool:
    """Return whether a work keeps the size that it had."""
    work, way = task.works[place], solved.chosen[place]
    return way is not None and work.ways[way].size == work.earlier


def _said(solved: Solved, hung: int, need: int) -> str:
    """Return the plan in a sentence for the coordinator; of works that need a frame, and of no others."""
    if not need:
        return "None of these works needs a frame of ours."
    start = f"{hung} of {need} works that need one {'has' if hung == 1 else 'have'} a frame"
    if need == 1:
        start = f"The one work that needs a frame has {'one' if hung else 'none'}"
    if all(goal.proven for goal in solved.goals):
        return f"{start}. No plan hangs more, crops less, wastes less frame or changes less, in this order."
    first = next(goal for goal in solved.goals if not goal.proven)
    open_ = "no bound was reached" if first.gap is None else f"at most {first.gap} from the best"
    return f"{start}. Time ran out: “{first.name}” is not proven best, {open_}."


def _hung(works: list[PlanWork], task: Task, solved: Solved, handed: list[int | None]) -> Iterator[FrameGiven]:
    """Yield the works that have a frame, in the order of their refs."""
    for place, (work, way, number) in enumerate(zip(works, solved.chosen, handed, strict=True)):
        if way is None or number is None:
            continue
        fit = agreed_fits(work)[way]
        how: How = "cropped" if any(fit.crop_mm) else "matted" if fit.matted else "whole"
        one = task.works[place]
        yield FrameGiven(
            ref=work.ref, frame=fit.frame, number=number, hang_from=date.fromordinal(one.first), hang_until=date.fromordinal(one.last),
            how=how, turned=fit.turned, crop_mm=fit.crop_mm, image_lost_percent=image_lost(fit) / 100, frame_wasted_cm2=frame_wasted(fit),
        )  # fmt: skip


def _out(given: PlanInput, task: Task, solved: Solved, again: Again) -> Iterator[StaysOut]:
    """Yield the works without a frame, with the reason and what would free them."""
    sizes = {frame.name: place for place, frame in enumerate(given.frames)}
    free = Free(task, solved)
    chosen = {work.ref: way for work, way in zip(task.works, solved.chosen, strict=True)}
    for work in given.works:
        if work.ref not in chosen:
            yield _not_planned(work)
        elif chosen[work.ref] is None:
            found = freed_by(work, sizes, free, again)
            if agreed_fits(work):
                yield StaysOut(ref=work.ref, why="outnumbered", says="Others need the frames that take it on these days.", freed_by=found)
                continue
            says = "No frame of the stock takes it with the crop that is agreed." if work.fits else "No frame of the stock takes it."
            own = "" if found else " Ask for it in a frame of its own."
            yield StaysOut(ref=work.ref, why="fits-none", says=says + own, freed_by=found)


def _not_planned(work: PlanWork) -> StaysOut:
    if work.framed:
        return StaysOut(ref=work.ref, why="own-frame", says="It comes in a frame of its own and needs none of ours.")
    if work.no_sheet:
        return StaysOut(ref=work.ref, why="no-sheet", says="It is no loose work on paper and hangs without a frame of ours.")
    return StaysOut(ref=work.ref, why="not-known", says="Tell us what is missing, and it can be planned.", missing=work.missing)


def _away(task: Task, gone: list[Gone]) -> Iterator[FrameAway]:
    for one in sorted(gone, key=lambda one: (one.size, one.number, one.first)):
        yield FrameAway(
            frame=task.sizes[one.size].name, number=one.number, away_from=date.fromordinal(one.first), away_until=date.fromordinal(one.last)
        )


def _one_more(task: Task, solved: Solved, budget: Budget, progress: Progress) -> tuple[OneMore, ...]:
    """Return what one more frame of each size would bring, by planning again; where everything hangs already, nothing."""
    base, found = solved.goals[0], []
    most = sum(work.weight for work in task.works if work.ways)
    hung = sum(way is not None for way in solved.chosen)
    for place, size in enumerate(task.sizes):
        progress(0.6 + 0.35 * place / len(task.sizes))
        if base.value == most:
            found.append(OneMore(frame=size.name, works_gained=0, weight_gained=0, proven=True))
            continue
        if budget.left <= 0 or not base.proven:
            found.append(OneMore(frame=size.name, works_gained=None, weight_gained=None, proven=False))
            continue
        sizes = (*task.sizes[:place], msgspec.structs.replace(size, count=size.count + 1), *task.sizes[place + 1 :])
        again = solve(Task(task.works, sizes), Budget(budget.left / (len(task.sizes) - place)), stages=1)
        gained = sum(way is not None for way in again.chosen) - hung
        value = again.goals[0].value - base.value
        proven = again.goals[0].proven
        found.append(OneMore(frame=size.name, works_gained=gained, weight_gained=value, proven=proven))
    return tuple(found)
