"""What a wall plan is made of. All lengths are whole millimetres; x runs from the left edge of the wall, y up from the floor."""

from typing import Literal

import msgspec

Spacing = Literal["equal", "spread", "gap"]
Align = Literal["centre", "top", "bottom"]


class Item(msgspec.Struct, frozen=True):
    """A work as it takes up wall: its outer size, rounded up."""

    ref: str
    width: int
    height: int


class Obstacle(msgspec.Struct, frozen=True):
    """A rectangle in which nothing may hang, and how far works keep away from it on every side."""

    name: str
    left: int
    bottom: int
    width: int
    height: int
    clearance: int = 0

    @property
    def right(self) -> int:
        """Its right edge."""
        return self.left + self.width

    @property
    def top(self) -> int:
        """Its upper edge."""
        return self.bottom + self.height


class Surface(msgspec.Struct, frozen=True):
    """The wall, what is in the way, and how much of it stays free: at both ends, above the floor and below the top."""

    width: int
    height: int
    obstacles: tuple[Obstacle, ...] = ()
    end: int = 0
    above_floor: int = 0
    below_top: int = 0


class Spaces(msgspec.Struct, frozen=True):
    """How works are spaced: ``gap`` is the least free wall between two, or exactly it where ``spacing`` is “gap”."""

    spacing: Spacing
    gap: int = 0


class Band(msgspec.Struct, frozen=True):
    """One item at its height: it may still move sideways."""

    item: Item
    bottom: int

    @property
    def top(self) -> int:
        """Its upper edge."""
        return self.bottom + self.item.height


class Placed(msgspec.Struct, frozen=True):
    """One item in its place."""

    item: Item
    left: int
    bottom: int
    row: int = 0

    @property
    def right(self) -> int:
        """Its right edge."""
        return self.left + self.item.width

    @property
    def top(self) -> int:
        """Its upper edge."""
        return self.bottom + self.item.height


class RowFound(msgspec.Struct, frozen=True):
    """The best places of one row: left edges in the order of ``bands``, the narrowest free piece, and what is proven of it.

    ``narrowest`` is the least piece that spacing makes as wide as it can be; ``at_most`` what no plan exceeds. ``proven``: they are the
    same, and no plan in this order is more even.
    """

    bands: tuple[Band, ...]
    lefts: tuple[int, ...]
    narrowest: int
    at_most: int
    proven: bool
