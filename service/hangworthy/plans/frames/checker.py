"""The checker: every plan is looked over before it is answered, day by day and side by side, by code that shares nothing with the solver.

It reads the input as it came and the plan as it will go out. A plan that fails is never answered.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta

from hangworthy.contract import FrameFit
from hangworthy.plans.frames.answers import FrameGiven, FramePlan
from hangworthy.plans.frames.wanted import PlanInput, PlanWork

_DAY = timedelta(days=1)


class BadPlan(Exception):
    """Raised for a plan that must not go out. The message names no work."""


def check(given: PlanInput, plan: FramePlan) -> None:
    """Look a plan over. Raises BadPlan with everything that is wrong."""
    wrong = [*_works(given, plan), *_frames(given, plan)]
    if wrong := wrong or [*_sums(given, plan)]:
        raise BadPlan("; ".join(sorted(set(wrong))))


def _works(given: PlanInput, plan: FramePlan) -> Iterator[str]:
    """Yield what is wrong with single works: each is answered once, on its own days, in a frame that takes it with what is agreed."""
    asked = {work.ref: work for work in given.works}
    answered = Counter([one.ref for one in plan.hangs] + [one.ref for one in plan.stays_out])
    if set(answered) != set(asked) or any(count != 1 for count in answered.values()):
        yield "a work is answered twice or not at all"
    for one in plan.hangs:
        work = asked.get(one.ref)
        if work is None:
            continue
        if (one.hang_from, one.hang_until) != (work.hang_from, work.hang_until):
            yield "a work hangs on other days than asked"
        if work.framed or work.no_sheet or work.missing:
            yield "a work has a frame that needs none, or of which too little is known"
        fits = [fit for fit in work.fits if fit.frame == one.frame]
        if len(fits) != 1:
            yield "a work is in a frame that does not take it"
        else:
            yield from _sides(work, fits[0], one)


def _sides(work: PlanWork, fit: FrameFit, one: FrameGiven) -> Iterator[str]:
    """Yield what is wrong with a work in its frame, to the micrometre."""
    top, right, bottom, left = (round(side * 1000) for side in one.crop_mm)
    most = [round(side * 1000) for side in fit.most_mm]
    if min(top, right, bottom, left) < 0 or any(goes > may for goes, may in zip((top, right, bottom, left), most, strict=True)):
        yield "a crop takes more than is agreed and free of marks"
    for name, size, goes, takes in (("width", work.width_mm, left + right, 0), ("height", work.height_mm, top + bottom, 1)):
        if size is None:
            yield f"a work of unknown {name} is in a frame"
        elif round(size * 1000) - goes > round(fit.takes_mm[takes] * 1000) + 1:  # a micrometre, where half ones were rounded
            yield f"the {name} of a work does not go into its frame"
    if any(one.crop_mm) != (one.how == "cropped"):
        yield "a crop is not called one, or what is none is"


def _days(first: date, last: date) -> Iterator[date]:
    day = first
    while day <= last:
        yield day
        day += _DAY


def _frames(given: PlanInput, plan: FramePlan) -> Iterator[str]:
    """Yield what is wrong with frames: each is in one place a day, there are as many as there are, and so many are away as stated."""
    counts = {frame.name: frame.count for frame in given.frames}
    used = [(one.frame, one.number, one.hang_from, one.hang_until) for one in plan.hangs]
    away = [(one.frame, one.number, one.away_from, one.away_until) for one in plan.away]
    places: set[tuple[str, int, date]] = set()
    for frame, number, first, last in used + away:
        if not 1 <= number <= counts.get(frame, 0):
            yield "a frame is used that is not there"
        for day in _days(first, last):
            if (frame, number, day) in places:
                yield "a frame is in two places on one day"
            places.add((frame, number, day))
    stated = Counter((one.frame, one.away_from, one.away_until) for one in given.away for _ in range(one.count))
    if Counter((frame, first, last) for frame, _, first, last in away) != stated:
        yield "frames are not away when they were said to be"


def _sums(given: PlanInput, plan: FramePlan) -> Iterator[str]:
    """Yield what is wrong with the objectives: they are added up anew, from sizes and crops."""
    works = {work.ref: work for work in given.works}
    sizes = {frame.name: (frame.width_mm, frame.height_mm) for frame in given.frames}
    frames = {one.ref: one.frame for one in plan.hangs}
    earlier = {one.ref: one.frame for one in given.earlier}
    lost = wasted = 0
    for one in plan.hangs:
        work = works[one.ref]
        top, right, bottom, left = (round(side * 1000) for side in one.crop_mm)
        width, height = round((work.width_mm or 0) * 1000), round((work.height_mm or 0) * 1000)
        shown = (width - left - right) * (height - top - bottom)
        own = -((shown - width * height) * 10_000 // (width * height))
        empty = max(0, -((shown - round(sizes[one.frame][0] * 1000) * round(sizes[one.frame][1] * 1000)) // 10**8))
        if own != round(one.image_lost_percent * 100) or empty != one.frame_wasted_cm2:
            yield "the image lost or the frame wasted of a work is added up wrongly"
        lost, wasted = lost + own, wasted + empty
    changes = sum(frames.get(ref) != frame for ref, frame in earlier.items() if ref in works and _competes(works[ref]))
    values = {one.name: one.value for one in plan.objectives}
    if values != {"hung": sum(works[ref].weight for ref in frames), "image_lost": lost, "frame_wasted": wasted, "changes": changes}:
        yield "the objectives are added up wrongly"
    for goal in plan.objectives:
        ahead = goal.bound is not None and (goal.bound < goal.value if goal.name == "hung" else goal.bound > goal.value)
        if ahead or (goal.proven and goal.bound != goal.value):
            yield "an objective passes its own bound, or is called proven and is not"


def _competes(work: PlanWork) -> bool:
    known = not work.missing and work.hang_from is not None and work.hang_until is not None
    return known and not work.framed and not work.no_sheet
