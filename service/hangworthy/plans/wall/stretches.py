"""Stretches: the pieces of wall in which one work may hang at its height, between whatever is in its way there."""

from collections.abc import Iterable

import msgspec

from hangworthy.plans.wall.model import Band, Obstacle, Surface


class Stretch(msgspec.Struct, frozen=True):
    """A piece of wall from one edge to another, and how much of it stays free at each: edges are the wall's or an obstacle's own."""

    low: int
    low_least: int
    high: int
    high_least: int

    @property
    def start(self) -> int:
        """The least left edge of a work in it."""
        return self.low + self.low_least

    @property
    def end(self) -> int:
        """The greatest right edge of a work in it."""
        return self.high - self.high_least


def cuts(band: Band, obstacle: Obstacle) -> bool:
    """Return whether an obstacle is in the way of a work at its height; touching the clearance is allowed."""
    return obstacle.bottom - obstacle.clearance < band.top and band.bottom < obstacle.top + obstacle.clearance


def stretches(surface: Surface, in_the_way: Iterable[Obstacle], level: int = 0) -> tuple[Stretch, ...]:
    """Return the stretches between obstacles, from left to right; at their edges at least ``level`` stays free, or the clearance."""
    found = []
    low, low_least = 0, max(surface.end, level)
    reach = low + low_least
    for one in sorted(in_the_way, key=lambda one: (one.left - max(one.clearance, level), one.left, one.name)):
        least = max(one.clearance, level)
        if one.left - least > reach:
            found.append(Stretch(low, low_least, one.left, least))
        if one.right + least >= reach:
            low, low_least, reach = one.right, least, one.right + least
    stop = surface.width - max(surface.end, level)
    closed = [one if one.end <= stop else Stretch(one.low, one.low_least, surface.width, surface.width - stop) for one in found]
    if stop > reach:
        closed.append(Stretch(low, low_least, surface.width, surface.width - stop))
    return tuple(one for one in closed if one.end > one.start)


def stretches_of(surface: Surface, band: Band, level: int = 0) -> tuple[Stretch, ...]:
    """Return the stretches in which one work may hang at its height."""
    return stretches(surface, (one for one in surface.obstacles if cuts(band, one)), level)


def free_pieces(surface: Surface, in_the_way: Iterable[Obstacle], low: int, high: int) -> list[int]:
    """Return the lengths of bare wall from ``low`` to ``high`` that no obstacle covers."""
    pieces, at = [], low
    for one in sorted(in_the_way, key=lambda one: (one.left, one.right)):
        if one.left > at:
            pieces.append(min(one.left, high) - at)
        at = max(at, one.right)
        if at >= high:
            break
    pieces.append(max(0, high - at))
    return [one for one in pieces if one > 0]
