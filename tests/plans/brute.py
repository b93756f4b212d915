"""Small random tasks, and their best plans by trying everything: nothing here is shared with the solver."""

import random
from collections.abc import Iterator

from hangworthy.plans.frames.task import Away, Size, Task, Wanted, Way


def random_task(seed: int, *, works: int = 6, sizes: int = 3, days: int = 12) -> Task:
    """Return a task with few frames, so that works compete; some have the same days and ways, weights, or an earlier frame."""
    chance = random.Random(seed)
    stock = []
    for number in range(chance.randint(1, sizes)):
        count = chance.randint(0, 2)
        away = []
        if count and chance.random() < 0.3:
            first = chance.randint(1, days)
            away.append(Away(first, chance.randint(first, days), chance.randint(1, count)))
        stock.append(Size(f"size {number}", count, tuple(away)))
    weighted, found = chance.random() < 0.4, []
    for number in range(chance.randint(1, works)):
        if found and chance.random() < 0.2:
            other = chance.choice(found)
            found.append(Wanted(f"w{number}", other.first, other.last, other.ways, other.weight, other.earlier))
            continue
        first = chance.randint(1, days)
        ways = tuple(
            Way(size, chance.choice((0, 0, chance.randint(0, 3))), chance.randint(0, 4))
            for size in range(len(stock))
            if chance.random() < 0.7
        )
        earlier = chance.choice((None, None, -1, *range(len(stock))))
        found.append(Wanted(f"w{number}", first, chance.randint(first, days), ways, chance.randint(1, 4) if weighted else 1, earlier))
    return Task(tuple(found), tuple(stock))


def fits(task: Task, chosen: tuple[int | None, ...]) -> bool:
    """Return whether no size is used more often than it is there, day by day."""
    for day in range(1, 1 + max(work.last for work in task.works)):
        used = [0] * len(task.sizes)
        for work, place in zip(task.works, chosen, strict=True):
            if place is not None and work.first <= day <= work.last:
                used[work.ways[place].size] += 1
        for size, count in zip(task.sizes, used, strict=True):
            if count > size.count - sum(one.count for one in size.away if one.first <= day <= one.last):
                return False
    return True


def plans(task: Task) -> Iterator[tuple[int | None, ...]]:
    """Yield every plan that can be carried out."""

    def further(so_far: tuple[int | None, ...]) -> Iterator[tuple[int | None, ...]]:
        if len(so_far) == len(task.works):
            yield so_far
            return
        for place in (None, *range(len(task.works[len(so_far)].ways))):
            longer = (*so_far, place)
            if place is None or fits(task, longer + (None,) * (len(task.works) - len(longer))):
                yield from further(longer)

    yield from further(())


def best(task: Task) -> tuple[int, int, int, int]:
    """Return the best values of the four objectives, one after the other: weight hung, lost, wasted, changes."""

    def key(chosen: tuple[int | None, ...]) -> tuple[int, int, int, int]:
        ways = [None if place is None else work.ways[place] for work, place in zip(task.works, chosen, strict=True)]
        hung = sum(work.weight for work, way in zip(task.works, ways, strict=True) if way)
        changes = sum(
            work.earlier is not None and (way is None or way.size != work.earlier) for work, way in zip(task.works, ways, strict=True)
        )
        return -hung, sum(way.lost for way in ways if way), sum(way.wasted for way in ways if way), changes

    least = min(map(key, plans(task)))
    return -least[0], *least[1:]
