"""Hooks of one work that hangs in its place: how high and how far along, in whole millimetres. Numbers in, numbers out."""

from math import floor


def hook_height(top: int, drop_mm: float) -> int:
    """Return the height of the hooks above the floor [mm] of a work with its upper edge at ``top``, hooks sitting ``drop_mm`` below it."""
    return floor(top - drop_mm + 0.5)


def hook_places(left: int, width_mm: float, hooks: int, spacing_mm: float = 0.0) -> tuple[int, ...]:
    """Return the distance of each hook from the left edge of the wall [mm].

    Hooks stand evenly over ``spacing_mm``, about the middle of the work. Raises ValueError for no hook, or a spacing wider than the work.
    """
    if hooks < 1 or not 0 <= spacing_mm <= width_mm:
        raise ValueError("there is no such row of hooks")
    middle = left + width_mm / 2.0
    if hooks == 1:
        return (floor(middle + 0.5),)
    first, span = floor(middle - spacing_mm / 2.0 + 0.5), floor(spacing_mm + 0.5)
    return tuple(first + floor(span * place / (hooks - 1) + 0.5) for place in range(hooks))
