"""What can be drawn of a sheet: the crop on it, the mat in its frame, and the layers in the rebate."""

from hangworthy.contract import Box, Drawing, Fill, Line, Note, Span, View, fact, given, sketch

from . import words
from .formulas import mat_borders
from .limits import PaperLimits
from .rules_frames import LOOSE, Sheet, search, too_small
from .rules_materials import FRAMED
from .rules_mats import GLAZED, stock_window
from .stock import NOTHING, Fit, best, both, worth_asking


def _fit(limits: PaperLimits, offered: Sheet) -> Fit | None:
    """Return how the sheet goes into a frame: with what is agreed, or else with the least crop that is worth asking about."""
    if too_small(limits, offered):
        return None
    ways, sheet = search(limits, offered)
    found = best(limits, ways, sheet, both(offered.consent or NOTHING, offered.margins))
    return found or worth_asking(limits, ways, sheet, offered.margins)


@sketch(
    "crop-window",
    of=["has-a-frame", "crop-decided"],
    title="The crop on your sheet",
    shown_to="artist",
    applies=LOOSE,
    says={
        "caption": "Front of the sheet in the frame “{frame}”. The hatched edges go; what is inside the heavy line is shown.",
        "agreed": "as you agreed",
        "asked": "only if you agree",
        "stays": "must stay",
    },
)
def crop_window_drawn(limits: PaperLimits, offered: Sheet) -> Drawing | None:
    """Draw the crop window on the sheet, with what goes from each side."""
    found = _fit(limits, offered)
    if found is None or not any(found.crop):
        return None
    width, height = offered.width, offered.height
    top, right, bottom, left = found.crop
    shapes: list[Box | Span | Note] = [
        Box(0, 0, width, height, fill="hatched", part="sheet"),
        Box(left, top, width - left - right, height - top - bottom, "heavy", "white", "window"),
    ]
    if offered.margins is not None:
        m_top, m_right, m_bottom, m_left = offered.margins
        if m_left + m_right < width and m_top + m_bottom < height:
            shapes.append(Box(m_left, m_top, width - m_left - m_right, height - m_top - m_bottom, "dashed", part="stays"))
            shapes.append(Note(width / 2, height / 2, "stays"))
    ends: list[tuple[str, tuple[float, float, float, float]]] = [
        ("top", (width, 0, width, top)),
        ("right", (width - right, height, width, height)),
        ("bottom", (width, height - bottom, width, height)),
        ("left", (0, height, left, height)),
    ]
    for (name, at), goes in zip(ends, found.crop, strict=True):
        if goes:
            shapes.append(Span(*at, side="right" if name in ("top", "bottom") else "below", part=name))
    shapes += [Span(0, 0, width, 0, "above", part="width"), Span(0, 0, 0, height, "left", part="height")]
    view = View(tuple(shapes), "asked" if offered.consent is None or not _agreed(found, offered) else "agreed")
    return Drawing((view,), {"frame": found.opening.frame.name})


def _agreed(found: Fit, offered: Sheet) -> bool:
    return all(goes <= most for goes, most in zip(found.crop, offered.consent or NOTHING, strict=True))


@sketch(
    "mat",
    of=["mat-proportions"],
    title="Mat and frame",
    shown_to="coordinator",
    applies=LOOSE,
    says={
        "caption": "Frame “{frame}”: window {window}. The dashed line is the sheet behind the mat.",
        "front": "from the front",
        "cut": "cut through the left border",
        "lap": "{figure} lap",
        "air": "air, at least {figure}",
        "rebate": "rebate {figure}",
    },
)
def mat_drawn(limits: PaperLimits, offered: Sheet) -> Drawing | None:
    """Draw the mat in its stock frame from the front, and cut through one border."""
    found = _fit(limits, offered)
    if found is None or not found.matted:
        return None
    inner, window = found.opening.inner, stock_window(limits, found)
    top, right, bottom, left = mat_borders(*inner, *window, min(limits.bottom_weight_mm, inner[1] - window[1]))
    lap = ((found.shown[0] - window[0]) / 2, (found.shown[1] - window[1]) / 2)
    middle = (left + window[0] / 2, top + window[1] / 2)
    front = (
        Box(0, 0, *inner, fill="light", part="frame"),
        Box(left, top, *window, "heavy", "white", "window"),
        Box(left - lap[0], top - lap[1], *found.shown, "dashed", part="sheet"),
        Span(middle[0], 0, middle[0], top, part="top"),
        Span(middle[0], inner[1] - bottom, middle[0], inner[1], part="bottom"),
        Span(0, middle[1], left, middle[1], part="left"),
        Span(inner[0] - right, middle[1], inner[0], middle[1], part="right"),
        Span(0, 0, inner[0], 0, "above", part="inner width"),
        Span(0, 0, 0, inner[1], "left", part="inner height"),
    )
    return Drawing(
        (View(front, "front"), _border_cut(limits, found, left, lap[0])),
        {"frame": found.opening.frame.name, "window": words.size(window)},
    )


def _border_cut(limits: PaperLimits, found: Fit, border: float, lap: float) -> View:
    """Return the cut through the left border: mat before the sheet, in the depth of the rebate; the mat is as thick as the air gap asks."""
    depth, end = found.opening.frame.rebate_depth_mm, border + max(12.0, border / 4)
    shapes = (
        Line(0, 0, 0, depth, "heavy", "rebate wall"),
        Line(0, 0, end, 0, "thin", "pane"),
        Box(0, 0, border, limits.gap_mm, fill="hatched", part="mat"),
        Line(border - lap, limits.gap_mm, end, limits.gap_mm, "heavy", "sheet"),
        Span(border - lap, limits.gap_mm, border, limits.gap_mm, "below", says="lap", part="lap"),
        Span(0, 0, border, 0, "above", part="border"),
        Span(end, 0, end, limits.gap_mm, "right", says="air", part="air"),
        Span(0, 0, 0, depth, "left", says="rebate", part="rebate"),
    )
    return View(shapes, "cut")


# The piece of frame that is shown, and the border of the mat in it; both only to look at [mm].
_PIECE, _BORDER = 40.0, 24.0
_FILLS: dict[str, Fill] = {"pane": "white", "gap": "hatched", "sheet": "dark", "backing": "light"}


@sketch(
    "rebate",
    of=["rebate-deep-enough"],
    title="Cut through the frame",
    shown_to="coordinator",
    applies=(*FRAMED, GLAZED, given("paper.backing_mm")),
    says={
        "caption": "Pane, mat, sheet and backing in the rebate, front above. Depths are to scale.",
        "pane": "pane {figure}",
        "gap": "mat or spacer {figure}",
        "sheet": "sheet {figure}",
        "backing": "backing {figure}",
        "rebate": "rebate {figure}",
        "stack": "all {figure}",
    },
)
def rebate_drawn(
    pane: float = fact("glazing.thickness_mm"),
    gap: float = fact("glazing.gap_mm"),
    sheet: float = fact("paper.thickness_mm"),
    backing: float = fact("paper.backing_mm"),
    rebate: float = fact("frame.rebate_depth_mm"),
) -> Drawing:
    """Draw the layers in the rebate, each as thick as it is."""
    shapes: list[Box | Line | Span] = [Line(0, 0, 0, rebate, "heavy", "rebate wall"), Line(0, 0, 6, 0, "heavy", "lip")]
    at = 0.0
    for name, thick in (("pane", pane), ("gap", gap), ("sheet", sheet), ("backing", backing)):
        if thick:
            width = _BORDER if name == "gap" else _PIECE
            shapes.append(Box(0, at, width, thick, "thin", _FILLS[name], name))
            shapes.append(Span(_PIECE, at, _PIECE, at + thick, "right", says=name, part=name))
        at += thick
    shapes += [Span(0, 0, 0, rebate, "left", says="rebate", part="rebate"), Span(0, 0, 0, at, "left", 1, says="stack", part="stack")]
    return Drawing((View(tuple(shapes)),))


DRAWINGS = (crop_window_drawn, mat_drawn, rebate_drawn)
