"""Are there enough pixels for the size and the distance?"""

import math

from hangworthy.contract import Check, Effect, Stage, Step, Words, at_least, fact, rule, where

from .formulas import arc_minutes, merging_distance, printed_ppi, required_ppi, viewing_distance
from .limits import ACUITY_TEXT, EditionLimits


@rule(
    "sharp-enough",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=ACUITY_TEXT,
    due=Stage.ARRIVAL,
    applies=[
        where("kind", "original-print", "photograph", "reproduction"),
        where("process", "inkjet", "laser-print", "chromogenic", "dye-transfer", "offset"),
    ],
    uses=["acuity_arcmin", "diagonals_away", "near_mm"],
    words=Words(
        measure="Pixels per inch of the print",
        met="It has pixels enough to look sharp from {distance}.",
        unmet="From {distance} its pixels may show; it looks sharp from {sharp} and farther.",
        remedy="Print it from a file with {pixels} pixels on the long side, print it smaller, or hang it farther from people.",
        bench="{value} for a viewing distance of {distance}, at least {limit} needed; sharp from {sharp}.",
    ),
)
def sharp_enough(
    limits: EditionLimits,
    width_px: float = fact("editions.image_width_px"),
    height_px: float = fact("editions.image_height_px"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    nearest: float | None = fact("wall.nearest_viewer_mm", optional=True),
) -> Check:
    """Are there enough pixels for its size at the viewing distance?

    Two pixels that the eye sees under less than one minute of arc merge. The coarser of the two directions, long side along long side, must
    be as fine at the viewing distance: one and a half diagonals of the print, or the nearest that people can come where that is less. The
    picture is taken to fill the print. Photographs that were enlarged optically have no pixels and are not asked for.
    """
    angle = arc_minutes(limits.acuity_arcmin)
    distance = viewing_distance(width, height, limits.diagonals_away, limits.near_mm)
    if nearest is not None:
        distance = max(limits.near_mm, min(distance, nearest))
    ppi, needed = printed_ppi(width_px, height_px, width, height), required_ppi(distance, angle)
    pixels = max(width_px, height_px) * max(1.0, needed / ppi)
    sharp = (merging_distance(ppi, angle), "mm")
    return at_least(ppi, needed, unit="ppi", distance=(distance, "mm"), sharp=sharp, pixels=math.ceil(pixels))


SHARP_RULES = (sharp_enough,)
