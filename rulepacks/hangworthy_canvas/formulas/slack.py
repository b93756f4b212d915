"""Slack and belly: how much longer a loose canvas is than its span, and how deep it hangs."""

import math

from hangworthy_handbook.checks import positive, within

# Beyond a quarter of the span the parabola's short formula is 13 % off and nobody would call the canvas stretched.
_DEEPEST = 0.25


def _belly(billow_mm: float, span_mm: float) -> None:
    positive("span_mm", span_mm)
    within("billow_mm", billow_mm, 0.0, _DEEPEST * span_mm)


def slack_from_billow(billow_mm: float, span_mm: float) -> float:
    """Slack of a canvas from the depth of its belly, as a flat parabola.

    Parameters
    ----------
    billow_mm : depth of the belly against a straightedge [mm]
    span_mm : distance between the bars, along the straightedge [mm]

    Returns: (length - span) / span = 8/3 (billow/span)^2 [ratio]

    Validity: billow up to a quarter of the span; 0.3 % off at 3/100 of it, 2.4 % at 1/10.
    Errors: ValueError beyond it, below 0, or for a span that is not above 0.
    Source: elementary cable geometry.
    Rows: C-06a.
    """
    _belly(billow_mm, span_mm)
    ratio = billow_mm / span_mm
    return 8.0 / 3.0 * ratio * ratio


def billow_from_slack(slack: float, span_mm: float) -> float:
    """Depth of the belly that a given slack makes; the inverse of `slack_from_billow`.

    A little slack makes a large belly: measure the belly and work back, never the other way.

    Parameters
    ----------
    slack : (length - span) / span [ratio]
    span_mm : distance between the bars [mm]

    Returns: span * sqrt(3/8 slack) [mm]

    Validity: slack up to 1/6, a belly of a quarter of the span. Errors: ValueError beyond it, below 0, or for a span
    that is not above 0. Source: elementary cable geometry.
    Rows: C-07a, C-07b, C-07c, C-12.
    """
    positive("span_mm", span_mm)
    within("slack", slack, 0.0, 8.0 / 3.0 * _DEEPEST * _DEEPEST)
    return span_mm * math.sqrt(0.375 * slack)


def parabola_arc(billow_mm: float, span_mm: float) -> float:
    """Exact length of a parabolic arc.

    Parameters
    ----------
    billow_mm : depth of the arc [mm]
    span_mm : its chord [mm]

    Returns: length of the arc [mm]

    Validity: billow up to a quarter of the span. Errors: as `slack_from_billow`.
    Source: calculus, arc length of a parabola.
    Rows: C-06b.
    """
    _belly(billow_mm, span_mm)
    steep = 4.0 * billow_mm / span_mm
    if steep == 0.0:
        return float(span_mm)
    return 0.5 * span_mm * (math.hypot(1.0, steep) + math.asinh(steep) / steep)


def circular_arc(billow_mm: float, span_mm: float) -> float:
    """Exact length of a circular arc, the shape of a slack membrane under even pressure.

    Parameters
    ----------
    billow_mm : depth of the arc [mm]
    span_mm : its chord [mm]

    Returns: length of the arc [mm]

    Validity: billow up to a quarter of the span. Errors: as `slack_from_billow`.
    Source: geometry of the circle, half angle = 2 arctan(2 billow / span).
    Rows: C-06c, C-06d.
    """
    _belly(billow_mm, span_mm)
    if billow_mm == 0.0:
        return float(span_mm)
    radius = (0.25 * span_mm * span_mm + billow_mm * billow_mm) / (2.0 * billow_mm)
    return 4.0 * radius * math.atan(2.0 * billow_mm / span_mm)
