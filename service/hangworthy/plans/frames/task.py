"""The task in whole numbers: works with their days and ways to be framed, sizes of frames with how many there are each day.

Days are whole numbers (``date.toordinal``), both ends included. Image lost is counted in hundredths of a percent of the sheet, frame
wasted in square centimetres: so every sum is exact, and a plan is best by whole numbers, not by how floats round.
"""

from bisect import bisect_right
from collections.abc import Sequence

import msgspec

OBJECTIVES = ("hung", "image_lost", "frame_wasted", "changes")


class Way(msgspec.Struct, frozen=True):
    """One way to frame a work: the size, by its place in the stock, the image lost [0.01 %] and the frame wasted [cm²]."""

    size: int
    lost: int = 0
    wasted: int = 0


class Wanted(msgspec.Struct, frozen=True):
    """One work that wants a frame from one day to another. ``weight`` is what hanging it counts, ``earlier`` the size it had.

    ``earlier`` is None where the work had no frame in an earlier plan, and -1 where it had a size that is no longer there.
    """

    ref: str
    first: int
    last: int
    ways: tuple[Way, ...]
    weight: int = 1
    earlier: int | None = None


class Away(msgspec.Struct, frozen=True):
    """Some frames of one size that are away, from one day to another."""

    first: int
    last: int
    count: int = 1


class Size(msgspec.Struct, frozen=True):
    """All frames of one size."""

    name: str
    count: int
    away: tuple[Away, ...] = ()


class Task(msgspec.Struct, frozen=True):
    """What is to be planned. Plans depend on the order of neither list where the works come sorted by ref."""

    works: tuple[Wanted, ...]
    sizes: tuple[Size, ...]


class Goal(msgspec.Struct, frozen=True):
    """One objective: its value, the bound that no plan passes (None where it was not reached), and whether the value is proven best."""

    name: str
    value: int
    bound: int | None
    proven: bool

    @property
    def gap(self) -> int | None:
        """How far the value may be from the best."""
        return None if self.bound is None else abs(self.value - self.bound)


class Solved(msgspec.Struct, frozen=True):
    """A plan in whole numbers: for each work the place of its way, None where it stays out, and the four objectives in their order."""

    chosen: tuple[int | None, ...]
    goals: tuple[Goal, ...]


def there(size: Size) -> tuple[list[int], list[int]]:
    """Return the days on which the number of frames at hand changes, and the number from each on; the first holds for all days before."""
    changes: dict[int, int] = {}
    for one in size.away:
        changes[one.first] = changes.get(one.first, 0) - one.count
        changes[one.last + 1] = changes.get(one.last + 1, 0) + one.count
    days, counts = [0], [size.count]
    for day in sorted(changes):
        if changes[day]:
            days.append(day)
            counts.append(counts[-1] + changes[day])
    return days, [max(0, count) for count in counts]


def at_hand(steps: tuple[list[int], list[int]], day: int) -> int:
    """Return how many frames are at hand on a day."""
    return steps[1][max(0, bisect_right(steps[0], day) - 1)]


def totals(task: Task, chosen: Sequence[int | None]) -> tuple[int, int, int, int]:
    """Return the four objectives of a plan: weight hung, image lost, frame wasted, changes against the earlier plan."""
    hung = lost = wasted = changes = 0
    for work, place in zip(task.works, chosen, strict=True):
        way = None if place is None else work.ways[place]
        if way is not None:
            hung, lost, wasted = hung + work.weight, lost + way.lost, wasted + way.wasted
        changes += work.earlier is not None and (way.size if way is not None else None) != work.earlier
    return hung, lost, wasted, changes
