"""From how many frames of a size hang to which: a colouring of the intervals, one frame a colour.

At most as many intervals as there are frames cover any day, so taken by their first day each finds a frame that is free (the interval
graph is perfect). Which of the free ones is taken is a choice: the one that the work had in the earlier plan if that is free, else the
first that no later work had. Frames that are away are intervals like the works.
"""

from collections.abc import Mapping, Sequence

import msgspec

from hangworthy.plans.frames.task import Task


class Gone(msgspec.Struct, frozen=True):
    """One frame that is away."""

    size: int
    number: int
    first: int
    last: int


def hand_out(task: Task, chosen: Sequence[int | None], numbers: Mapping[int, int] | None = None) -> tuple[list[int | None], list[Gone]]:
    """Return the number of each work's frame, counted from 1, and which frames are away when.

    ``numbers`` are those of an earlier plan, by the place of the work; one is kept where that frame is free.
    """
    handed: list[int | None] = [None] * len(task.works)
    gone: list[Gone] = []
    for place, size in enumerate(task.sizes):
        mine = [
            (work.first, work.last, index)
            for index, (work, way) in enumerate(zip(task.works, chosen, strict=True))
            if way is not None and work.ways[way].size == place
        ]
        absent = [(one.first, one.last, -1) for one in size.away for _ in range(one.count)]
        earlier = {index: (numbers or {}).get(index, 0) for _, _, index in mine if task.works[index].earlier == place}
        waiting: dict[int, list[int]] = {}
        for first, _, index in mine:
            if earlier.get(index):
                waiting.setdefault(earlier[index], []).append(first)
        free_from = [0] * (size.count + 1)
        for first, last, index in sorted(mine + absent):
            number = _pick(free_from, waiting, earlier.get(index, 0), first, last, backward=index < 0)
            free_from[number] = last + 1
            if index < 0:
                gone.append(Gone(place, number, first, last))
            else:
                handed[index] = number
    return handed, gone


def _pick(free_from: list[int], waiting: Mapping[int, list[int]], earlier: int, first: int, last: int, *, backward: bool) -> int:
    """Return a frame that is free from ``first`` on."""
    free = [number for number in range(1, len(free_from)) if free_from[number] <= first]
    if earlier in free:
        return earlier
    if backward:
        free.reverse()
    return next((one for one in free if not any(first <= day <= last for day in waiting.get(one, ()))), free[0])
