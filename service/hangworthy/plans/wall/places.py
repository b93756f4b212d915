"""Places in one row: works in their order, shared out among the stretches between obstacles, as evenly as it can be."""

from collections.abc import Iterator, Sequence
from functools import cache

import msgspec

from hangworthy.plans.wall.even import even_sums
from hangworthy.plans.wall.model import Band, Spaces, Surface
from hangworthy.plans.wall.stretches import Stretch, cuts, free_pieces

MOST_TRIED = 20_000

Key = tuple[int, ...]
Lefts = tuple[int, ...]


class Chosen(msgspec.Struct, frozen=True):
    """The best places that were found, what they cost, and whether every way of sharing out the works was looked at."""

    lefts: Lefts
    cost: Key
    complete: bool


class Row:
    """One row at one level: every work's stretches, and what its places cost.

    Works in one stretch make a group; so do works whose stretches overlap. Groups are independent of each other: what lies between them is
    at least as wide as a gap. The best way from a work on does not depend on how those before it hang.
    """

    def __init__(self, surface: Surface, bands: Sequence[Band], spaces: Spaces, ways: Sequence[Sequence[Stretch]], gap: int) -> None:
        """Hold the row; ``ways`` and ``gap`` are those of the level that is asked for."""
        self.surface, self.bands, self.spaces, self.ways, self.gap = surface, bands, spaces, ways, gap
        self.widths = [one.item.width for one in bands]
        self.in_the_way = [one for one in surface.obstacles if any(cuts(band, one) for band in bands)]
        self.tried = 0
        self._best_from = cache(self._looked_for)

    def best(self) -> Chosen | None:
        """Return the best places, or None where the row does not fit in this order."""
        found = self._best_from(0, None)
        return None if found is None else Chosen(found[1], found[0], self.tried < MOST_TRIED)

    def _looked_for(self, first: int, after: Stretch | None) -> tuple[Key, Lefts] | None:
        """Return cost and places of the works from ``first`` on, the one before hanging in the stretch ``after``."""
        if first == len(self.bands):
            return self._bare(after.high if after else 0, self.surface.width), ()
        found: tuple[Key, Lefts] | None = None
        for start in self.ways[first]:
            if after is not None and not self._apart(after, start):
                continue
            bare = self._bare(after.high if after else 0, start.low)
            for path in self._paths(first, (start,)):
                own = self._group(first, path)
                if own is None:
                    continue
                rest = self._best_from(first + len(path), path[-1])
                if rest is None:
                    continue
                whole = (_added(bare, own[0], rest[0]), own[1] + rest[1])
                found = whole if found is None else min(found, whole)
        return found

    def _paths(self, first: int, path: tuple[Stretch, ...]) -> Iterator[tuple[Stretch, ...]]:
        """Yield every group that starts at a work: the stretches of its works, each overlapping the one before."""
        self.tried += 1
        if self.tried > MOST_TRIED or sum(self.widths[first : first + len(path)]) > path[-1].end - path[0].start:
            return
        yield path
        following = first + len(path)
        if following < len(self.bands):
            for one in self.ways[following]:
                if not self._apart(path[-1], one) and one.end > path[-1].start:
                    yield from self._paths(first, (*path, one))

    def _apart(self, one: Stretch, other: Stretch) -> bool:
        """Return whether works in two stretches can come no closer than a gap, so that neither minds the other."""
        return other.start - one.end >= self.gap

    def _bare(self, low: int, high: int) -> Key:
        """Return what bare wall costs where nothing hangs: it is a piece like others."""
        if self.spaces.spacing == "gap" or high <= low:
            return (0, 0)
        return (sum(piece * piece for piece in free_pieces(self.surface, self.in_the_way, low, high)), 0)

    def _group(self, first: int, path: tuple[Stretch, ...]) -> tuple[Key, Lefts] | None:
        """Return cost and places of one group, or None where it does not fit."""
        widths = self.widths[first : first + len(path)]
        if self.spaces.spacing == "gap":
            return self._rigid(widths, path, whole=len(path) == len(self.bands))
        before = [sum(widths[:place]) for place in range(len(widths))]
        low, high = path[0].low, path[-1].high
        leasts = [path[0].low_least, *[self.gap] * (len(path) - 1), path[-1].high_least]
        lows = [one.start - low - mine for one, mine in zip(path, before, strict=True)]
        highs = [one.end - low - mine - width for one, mine, width in zip(path, before, widths, strict=True)]
        total = high - low - sum(widths)
        if self.spaces.spacing == "spread" and len(path) > 1:
            highs[0], lows[-1] = leasts[0], total - leasts[-1]
        try:
            sums = even_sums(total, leasts, lows, highs)
        except ValueError:
            return None
        if any(not one <= at <= other for one, at, other in zip(lows, sums, highs, strict=False)):
            return None
        pieces = [after - at for at, after in zip((0, *sums), sums, strict=False)]
        if any(piece < least for piece, least in zip(pieces, leasts, strict=True)):
            return None
        return (sum(piece * piece for piece in pieces), 0), tuple(low + at + mine for at, mine in zip(sums, before, strict=False))

    def _rigid(self, widths: Sequence[int], path: tuple[Stretch, ...], *, whole: bool) -> tuple[Key, Lefts] | None:
        """Return the places of a group with fixed gaps: in the middle of the wall, or of its own room where it is one of several."""
        at = [sum(widths[:place]) + self.gap * place for place in range(len(widths))]
        long = at[-1] + widths[-1]
        least = max(one.start - mine for one, mine in zip(path, at, strict=True))
        most = min(one.end - width - mine for one, width, mine in zip(path, widths, at, strict=True))
        if least > most:
            return None
        low, high = (0, self.surface.width) if whole else (path[0].low, path[-1].high)
        first = min(max(low + (high - low - long) // 2, least), most)
        off = sum(abs(2 * (first + mine) + width - self.surface.width) for mine, width in zip(at, widths, strict=True))
        return (1, off), tuple(first + mine for mine in at)


def _added(*costs: Key) -> Key:
    return tuple(map(sum, zip(*costs, strict=True)))
