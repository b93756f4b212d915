"""What the wall has to hold: the pull away from it, and what is left of a rating."""

import math

from hangworthy_handbook.checks import positive, within


def pull_out(load: float, off_wall_mm: float, lever_mm: float) -> float:
    """Pull away from the wall at the hooks, from a centre of mass that stands off it.

    Parameters
    ----------
    load : weight of the work [any unit]
    off_wall_mm : distance of its centre of mass from the wall [mm]
    lever_mm : height of the hooks above the place where the work's lower edge touches the wall [mm]

    Returns: pull at all hooks together [same unit]

    Validity: a work that touches the wall at its lower edge. Errors: ValueError for a load or lever not above 0, or a distance below 0.
    Source: statics, W e / h.
    Rows: K-12.
    """
    positive("load", load)
    positive("lever_mm", lever_mm)
    within("off_wall_mm", off_wall_mm, 0.0, math.inf)
    return load * off_wall_mm / lever_mm


def derated(rating: float, share: float) -> float:
    """What may be put on a fixing of which the load at breaking is known.

    Parameters
    ----------
    rating : published breaking (ultimate) load [any unit]
    share : the part of it that may be used, a quarter in plasterboard [ratio]

    Returns: working load [same unit]

    Validity: fixings set as their maker says, in a sound wall. Errors: ValueError for a rating not above 0, or a share outside 0 to 1.
    Source: makers' guidance for plasterboard anchors (from memory).
    Rows: K-13.
    """
    positive("rating", rating)
    within("share", share, 0.0, 1.0)
    return rating * share
