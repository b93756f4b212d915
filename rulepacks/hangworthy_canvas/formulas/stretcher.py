"""What moving bars do to the canvas stretched over them; and the units its tension is quoted in."""

from typing import NamedTuple

from hangworthy_handbook.checks import positive, within

from .slack import billow_from_slack


class CanvasMovement(NamedTuple):
    """What the bars' movement does along one direction of the canvas.

    change_mm : change of the stretcher's outer size [mm]; strain : the same over the span, positive when the canvas is
    pulled tighter [ratio]; slack_mm : canvas left over if it does not follow [mm]; left_mm : what the keys cannot take
    up of it [mm]; billow_mm : belly that left_mm would make [mm].
    """

    change_mm: float
    strain: float
    slack_mm: float
    left_mm: float
    billow_mm: float


def canvas_slack_from_movement(span_mm: float, transverse_mm: float, longitudinal_mm: float, key_travel_mm: float) -> CanvasMovement:
    """Change of the stretcher along one direction, and the slack it would leave in a canvas that keeps its length.

    The outer size is the length of the bars along this direction plus the width of the two bars across it: so it is
    when a shouldered corner bears on the inner edge of its neighbour. A mitred corner shares less of the width, so
    this is an upper bound. The canvas answers too: below about 80 % RH it tightens as it dries (`tension_trend`), which
    works against the slack of shrinking bars, and by how much is not published.

    Parameters
    ----------
    span_mm : outer size of the stretcher along this direction [mm]
    transverse_mm : change of ONE bar's width, negative when it shrinks [mm]
    longitudinal_mm : change of length of the bars along this direction, negative when they shrink [mm]
    key_travel_mm : how far the keys can still open this direction, both corners together [mm]

    Returns: `CanvasMovement`, five numbers in the order of its fields

    Validity: changes within 5 % of the span. Errors: ValueError beyond it, for a span not above 0, or for a key travel
    below 0. Source: geometry; parabola as `billow_from_slack`.
    Rows: W-13b, W-13c, W-13d.
    """
    positive("span_mm", span_mm)
    within("key_travel_mm", key_travel_mm, 0.0, span_mm)
    change = 2.0 * transverse_mm + longitudinal_mm
    within("change of size in mm", change, -0.05 * span_mm, 0.05 * span_mm)
    slack = max(0.0, -change)
    left = max(0.0, slack - key_travel_mm)
    return CanvasMovement(change, change / span_mm, slack, left, billow_from_slack(left / span_mm, span_mm))


def n_per_m_from_n_per_cm(tension_n_cm: float) -> float:
    """Tension in newtons per metre, from the newtons per centimetre of the conservation literature.

    Parameters
    ----------
    tension_n_cm : tension [N/cm]

    Returns: tension [N/m]

    Validity: any number. Errors: none. Source: SI.
    Rows: C-14a.
    """
    return 100.0 * tension_n_cm


def n_per_cm_from_n_per_m(tension_n_m: float) -> float:
    """Tension in newtons per centimetre, as the conservation literature quotes it.

    Parameters
    ----------
    tension_n_m : tension [N/m]

    Returns: tension [N/cm]

    Validity: any number. Errors: none. Source: SI.
    Rows: C-14b.
    """
    return tension_n_m / 100.0
