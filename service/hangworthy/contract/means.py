"""Meanings: what a pack's fact or limit stands for in the host's own plans, which name no pack."""

from enum import StrEnum


class Means(StrEnum):
    """What plans ask of facts and limits. A pack says it where it declares one: ``ask(..., means=Means.HOOKS)``; no pack need.

    Facts: how many hooks a work hangs on, how far apart the outermost are, and the gap that a wall wants between works. Limits: the height
    of a work's middle, the least free wall above the floor, below the top and at each end of a row, and the heaviest and the widest work
    for one hook.
    """

    HOOKS = "hooks"
    HOOK_SPACING = "hook-spacing"
    ROW_GAP = "row-gap"
    CENTRE_HEIGHT = "centre-height"
    ABOVE_FLOOR = "above-floor"
    BELOW_TOP = "below-top"
    ROW_END = "row-end"
    ONE_HOOK_KG = "one-hook-kg"
    ONE_HOOK_MM = "one-hook-mm"
