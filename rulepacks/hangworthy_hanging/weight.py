"""What a work weighs: by the scale, or by its layers; and how a rule is judged by a weight that is only estimated."""

from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Literal, NamedTuple

from hangworthy.contract import Check, GlazingMaterial, Kind, Technique, Undecided, fact, show

from .facts import Backing
from .formulas import Estimate, areal_mass, density, layered_mass, moulding_mass, pane_density, pane_mass, sheet_mass, solid_density

SHEETS = ("work-on-paper", "original-print", "photograph", "reproduction")
LAYERED = ("stretched-canvas", "panel", *SHEETS)
_BAR_MM = (30.0, 60.0)
_BRACED_EVERY_MM = 800.0
_SOLID_PANEL_MM = 12.0  # a deeper one may be a box on battens
_THIN_BOARD_MM = 3.0

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


@lru_cache(maxsize=2)  # several rules ask of one work
def estimate(layers: Layers) -> Estimate | Undecided:
    """Return the weight put together from the layers, or what would still have to be known of them, or weighed instead."""
    missing = _missing(layers)
    if missing or layers.width is None or layers.height is None:
        return Undecided(missing or ("mass_kg",))
    lows, highs = zip(*_own(layers, layers.width, layers.height), *_frame(layers), strict=True)
    return layered_mass(lows, highs)


def _missing(layers: Layers) -> tuple[str, ...]:
    """Return the facts that an estimate lacks. None is guessed: what is not known must not make a work lighter."""
    if layers.kind not in LAYERED or (layers.framed and layers.frame_material == "other"):
        return ("mass_kg",)
    needed: dict[str, object] = {"width_mm": layers.width, "height_mm": layers.height, "framed": layers.framed}
    if layers.kind not in SHEETS:
        needed["depth_mm"] = layers.depth or None
    if layers.kind == "stretched-canvas":
        needed["technique"] = layers.technique
    if layers.framed:
        needed |= {"frame.width_mm": layers.frame_width, "frame.height_mm": layers.frame_height, "frame.depth_mm": layers.frame_depth}
        needed |= {"frame.material": layers.frame_material, "hanging.moulding_width_mm": layers.moulding, "hanging.backing": layers.backing}
        needed |= {"glazing.material": layers.pane, "hanging.matted": layers.matted if layers.kind in SHEETS else False}
        needed["glazing.thickness_mm"] = 0 if layers.pane in (None, "none") else layers.pane_thickness
    return tuple(path for path, value in needed.items() if value is None)


def _own(layers: Layers, width: float, height: float) -> Iterator[Range]:
    """Yield the layers of the work itself [kg]."""
    if layers.kind in SHEETS:
        yield _sheet(width, height, areal_mass("paper"))
    elif layers.kind == "panel":
        deep, (low, high) = layers.depth or 0.0, density("panel")
        thin = deep if deep <= _SOLID_PANEL_MM else _THIN_BOARD_MM
        yield pane_mass(width, height, thin, low), pane_mass(width, height, deep, high)
    else:
        thick = layers.technique in ("thick-oil", "mixed", "other")
        yield _sheet(width, height, (areal_mass("canvas")[0], areal_mass("thick-canvas" if thick else "canvas")[1]))
        yield from _stretcher(width, height, layers.depth or 0.0)


def _sheet(width: float, height: float, areal: Range) -> Range:
    return sheet_mass(width, height, areal[0]), sheet_mass(width, height, areal[1])


def _stretcher(width: float, height: float, depth: float) -> Iterator[Range]:
    """Yield the bars, and the braces that may be behind a canvas [kg]."""
    low, high = density("softwood")
    yield moulding_mass(width, height, _BAR_MM[0], depth, low), moulding_mass(width, height, _BAR_MM[1], depth, high)
    braces = width // _BRACED_EVERY_MM * height + height // _BRACED_EVERY_MM * width
    yield 0.0, (pane_mass(braces, _BAR_MM[1], depth, high) if braces else 0.0)


def _frame(layers: Layers) -> Iterator[Range]:
    """Yield the moulding, the pane, the mat and the backing [kg], all known by now; nothing where there is no frame."""
    width, height, depth, bar = layers.frame_width, layers.frame_height, layers.frame_depth, layers.moulding
    if not layers.framed or width is None or height is None or depth is None or bar is None or layers.frame_material is None:
        return
    low, high = solid_density(layers.frame_material)
    yield moulding_mass(width, height, bar, depth, low), moulding_mass(width, height, bar, depth, high)
    least = max(width - 2.0 * bar, 1.0), max(height - 2.0 * bar, 1.0)
    pane = (
        layers.pane_thickness * pane_density(layers.pane) / 1000.0 if layers.pane_thickness and layers.pane not in (None, "none") else 0.0
    )
    sheets = [(pane, pane)]
    if layers.matted and layers.kind in SHEETS:
        sheets.append(areal_mass("mat"))
    if layers.backing not in (None, "none"):
        sheets.append(areal_mass(layers.backing))
    for one, other in sheets:
        yield sheet_mass(*least, one), sheet_mass(width, height, other)


def roughly(found: Estimate) -> str:
    """Return an estimate in words, with its uncertainty (two standard uncertainties) and its outermost sides."""
    outside = f"{show(found.low_kg, 'kg')} to {show(found.high_kg, 'kg')} at the outside"
    return f"{show(found.kg, 'kg')} ± {show(2.0 * found.u_kg, 'kg')}, {outside}"


def by_estimate(layers: Layers, judge: Callable[[float, str], Check]) -> Check | Undecided:
    """Return what a rule says of a work that was not weighed; heavier works must never pass it more easily.

    ``judge`` is given a weight [kg] and how a sentence shows it. What the most that the layers can weigh passes is met, what not even the
    least passes is unmet and shown with the middle, and between them the work has to be weighed.
    """
    found = estimate(layers)
    if isinstance(found, Undecided):
        return Undecided(("mass_kg",))
    text = f"by estimate {roughly(found)}"
    high = judge(found.high_kg, text)
    if high.met:
        return high
    return Undecided(("mass_kg",)) if judge(found.low_kg, text).met else judge(found.kg, text)
