"""What a work weighs: by the scale, or by its layers; and how a rule is judged by a weight that is only estimated."""

from collections.abc import Callable, Iterator
from typing import Literal, NamedTuple

from hangworthy.contract import Check, GlazingMaterial, Kind, Technique, Undecided, fact, show

from .facts import Backing
from .formulas import Estimate, areal_mass, density, layered_mass, moulding_mass, pane_density, pane_mass, sheet_mass, solid_density

SHEETS = ("work-on-paper", "original-print", "photograph", "reproduction")
_BAR_MM = (30.0, 60.0)
_BAR_DEPTH_MM = (15.0, 50.0)
_BRACED_EVERY_MM = 800.0
_THICKEST_PANEL_MM = 12.0  # a deeper one is a box on battens, or a block: only a scale can tell
_MOULDING_MM = (10.0, 60.0)
_FRAME_DEPTH_MM = (12.0, 50.0)
_FRAME_KG_M3 = (150.0, 990.0)  # the widest of all frame materials
_PANE_MM = {"laminated-glass": (4.0, 7.0)}
_COMMON_PANE_MM = (1.5, 4.0)
_UNKNOWN_PANE_KG_M2 = (0.0, 10.0)  # from none to 4 mm of glass
_UNKNOWN_BACKING_KG_M2 = (0.0, 5.0)

Range = tuple[float, float]


class Layers(NamedTuple):
    """The facts that a weight is read or put together from."""

    mass: float | None = fact("mass_kg", optional=True)
    kind: Kind | None = fact("kind", optional=True)
    technique: Technique | None = fact("technique", optional=True)
    framed: bool | None = fact("framed", optional=True)
    width: float | None = fact("width_mm", optional=True)
    height: float | None = fact("height_mm", optional=True)
    depth: float | None = fact("depth_mm", optional=True)
    frame_width: float | None = fact("frame.width_mm", optional=True)
    frame_height: float | None = fact("frame.height_mm", optional=True)
    frame_depth: float | None = fact("frame.depth_mm", optional=True)
    frame_material: Literal["wood", "mdf", "aluminium", "plastic", "other"] | None = fact("frame.material", optional=True)
    moulding: float | None = fact("hanging.moulding_width_mm", optional=True)
    pane: GlazingMaterial | None = fact("glazing.material", optional=True)
    pane_thickness: float | None = fact("glazing.thickness_mm", optional=True)
    matted: bool | None = fact("hanging.matted", optional=True)
    backing: Backing | None = fact("hanging.backing", optional=True)


class Weight(NamedTuple):
    """A weight to judge by [kg], and how a sentence shows it."""

    kg: float
    text: str


def estimate(layers: Layers) -> Estimate | None:
    """Return the weight put together from the layers; None where too little is known of them, and only a scale can tell."""
    if layers.width is None or layers.height is None or layers.framed is None:
        return None
    own = _own(layers, layers.width, layers.height)
    if not own:
        return None
    frame: list[Range] = []
    if layers.framed:
        if layers.frame_width is None or layers.frame_height is None:
            return None
        frame = list(_frame(layers, layers.frame_width, layers.frame_height))
    lows, highs = zip(*own, *frame, strict=True)
    return layered_mass(lows, highs)


def _own(layers: Layers, width: float, height: float) -> list[Range]:
    """Return the layers of the work itself [kg]; none where they cannot be told."""
    if layers.kind == "stretched-canvas":
        thick = layers.technique in ("thick-oil", "mixed", "other", None)
        high = areal_mass("thick-canvas" if thick else "canvas")[1]
        cloth = (sheet_mass(width, height, areal_mass("canvas")[0]), sheet_mass(width, height, high))
        return [cloth, *_stretcher(width, height, layers.depth)]
    if layers.kind == "panel" and layers.depth and layers.depth <= _THICKEST_PANEL_MM:
        low, high = density("panel")
        return [(pane_mass(width, height, layers.depth, low), pane_mass(width, height, layers.depth, high))]
    if layers.kind in SHEETS:
        low, high = areal_mass("paper")
        return [(sheet_mass(width, height, low), sheet_mass(width, height, high))]
    return []


def _stretcher(width: float, height: float, depth: float | None) -> Iterator[Range]:
    """Yield the bars and the braces that may be behind a canvas [kg]."""
    low, high = density("softwood")
    thin, thick = (depth, depth) if depth else _BAR_DEPTH_MM
    yield moulding_mass(width, height, _BAR_MM[0], thin, low), moulding_mass(width, height, _BAR_MM[1], thick, high)
    braces = width // _BRACED_EVERY_MM * height + height // _BRACED_EVERY_MM * width
    yield 0.0, (pane_mass(braces, _BAR_MM[1], thick, high) if braces else 0.0)


def _frame(layers: Layers, width: float, height: float) -> Iterator[Range]:
    """Yield the moulding, the pane, the mat and the backing [kg]."""
    bar = (layers.moulding, layers.moulding) if layers.moulding else _MOULDING_MM
    deep = (layers.frame_depth, layers.frame_depth) if layers.frame_depth else _FRAME_DEPTH_MM
    known = layers.frame_material is not None and layers.frame_material != "other"
    low, high = solid_density(layers.frame_material or "") if known else _FRAME_KG_M3
    yield moulding_mass(width, height, bar[0], deep[0], low), moulding_mass(width, height, bar[1], deep[1], high)
    least = max(width - 2.0 * bar[1], 1.0), max(height - 2.0 * bar[1], 1.0)
    sheets = [_pane(layers)]
    if layers.kind in SHEETS:
        sheets.append((0.0, 0.0) if layers.matted is False else (areal_mass("mat")[0] if layers.matted else 0.0, areal_mass("mat")[1]))
    sheets.append((0.0, 0.0) if layers.backing == "none" else areal_mass(layers.backing) if layers.backing else _UNKNOWN_BACKING_KG_M2)
    for one, other in sheets:
        yield sheet_mass(*least, one), sheet_mass(width, height, other)


def _pane(layers: Layers) -> Range:
    """Return the mass per area of the pane [kg/m2]."""
    if layers.pane is None:
        return _UNKNOWN_PANE_KG_M2
    if layers.pane == "none":
        return 0.0, 0.0
    thickness = layers.pane_thickness
    low, high = (thickness, thickness) if thickness else _PANE_MM.get(layers.pane, _COMMON_PANE_MM)
    per_mm = pane_density(layers.pane) / 1000.0
    return low * per_mm, high * per_mm


def roughly(found: Estimate) -> str:
    """Return an estimate in words, with its uncertainty (two standard uncertainties) and its outermost sides."""
    outside = f"{show(found.low_kg, 'kg')} to {show(found.high_kg, 'kg')} at the outside"
    return f"{show(found.kg, 'kg')} ± {show(2.0 * found.u_kg, 'kg')}, {outside}"


def by_weight(layers: Layers, judge: Callable[[Weight], Check | Undecided]) -> Check | Undecided:
    """Return what a rule says that a heavier work never passes more easily.

    A work that was weighed is judged by its weight. Else what the upper side of the estimate passes is met, what not even the lower side
    passes is unmet, and between them the work has to be weighed.
    """
    if layers.mass is not None:
        return judge(Weight(layers.mass, show(layers.mass, "kg")))
    found = estimate(layers)
    if found is None:
        return Undecided(("mass_kg",))
    between = f"by estimate {roughly(found)}"
    high = judge(Weight(found.high_kg, between))
    if isinstance(high, Undecided) or high.met:
        return high
    low = judge(Weight(found.low_kg, between))
    return Undecided(("mass_kg",)) if isinstance(low, Undecided) or low.met else judge(Weight(found.kg, between))
