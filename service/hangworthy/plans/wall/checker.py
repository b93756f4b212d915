"""The checker: is a plan what it says it is? Written from the rules alone, without the planner's code; it looks at every answer."""

from collections.abc import Sequence
from itertools import combinations

from hangworthy.plans.wall.model import Item, Placed, Spaces, Surface


def violations(surface: Surface, items: Sequence[Item], placed: Sequence[Placed], spaces: Spaces) -> list[str]:
    """Return everything that is wrong with a plan; nothing for a good one."""
    wrong = []
    if sorted(one.item.ref for one in placed) != sorted(one.ref for one in items):
        wrong.append("not every work hangs exactly once")
    for one in placed:
        ref = one.item.ref
        if one.left < surface.end or one.right > surface.width - surface.end:
            wrong.append(f"{ref} is too near an end of the wall")
        if one.bottom < surface.above_floor or one.top > surface.height - surface.below_top:
            wrong.append(f"{ref} is too near the floor or the top")
        for other in surface.obstacles:
            free = other.clearance
            beside = one.right <= other.left - free or one.left >= other.right + free
            if not beside and one.bottom < other.top + free and one.top > other.bottom - free:
                wrong.append(f"{ref} is too near {other.name}")
    wrong += _between(placed, spaces)
    return wrong


def _between(placed: Sequence[Placed], spaces: Spaces) -> list[str]:
    """Return what is wrong between two works: too close in one row, or one over the other."""
    wrong = []
    for one, other in combinations(placed, 2):
        left, right = sorted((one, other), key=lambda each: each.left)
        if one.row == other.row:
            if right.left - left.right < spaces.gap:
                wrong.append(f"{left.item.ref} and {right.item.ref} are too close")
        elif left.right > right.left and one.bottom < other.top and other.bottom < one.top:
            wrong.append(f"{left.item.ref} and {right.item.ref} overlap")
    return wrong
