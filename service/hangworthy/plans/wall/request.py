"""The request of a wall plan: its wire type for the document, and the reader that tells every fault at once."""

import math
from collections.abc import Mapping
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from hangworthy.contract.means import Means
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.reading import ReadWork, nearest
from hangworthy.engine.schema import QUANTITY_TEXT, Schema
from hangworthy.intake import BadInput, Intake
from hangworthy.intake.faults import FaultList, pointer_of, quote
from hangworthy.intake.text import plain
from hangworthy.plans.asked import Figures, Outer, hung_at, mismatch, outer, with_wall, works_of
from hangworthy.plans.fields import REQUIRED, Fields
from hangworthy.plans.wall.heights import Lines
from hangworthy.plans.wall.model import Align, Item, Obstacle, Spaces, Spacing, Surface
from hangworthy.plans.wall.solve import Task

MOST_WORKS, MOST_OBSTACLES, MOST_ROWS = 40, 40, 4
WIDEST, HIGHEST = 200_000, 50_000
USUAL_MIDDLE_MM, USUAL_ROW_GAP_MM = 1450, 100
SPACINGS: tuple[Spacing, ...] = ("equal", "spread", "gap")
ALIGNS: tuple[Align, ...] = ("centre", "top", "bottom")
Order = Literal["given", "free"]
ORDERS: tuple[Order, ...] = ("given", "free")
OWN_WALL = "this wall"

_Text = Annotated[str, Meta(min_length=1, max_length=80)]


def _length(lo: float, hi: float, about: str, required: bool = False) -> Any:
    wire: Any = Annotated[float, Meta(ge=lo, le=hi)] | Annotated[str, QUANTITY_TEXT]
    return Annotated[wire if required else wire | None, Meta(description=about, extra_json_schema={"x-unit": "mm"})]


class WallMeasures(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """A wall that the venue does not list: how wide and how high it is."""

    width_mm: _length(100, WIDEST, "Width of the free wall.", True)  # type: ignore[valid-type]
    height_mm: _length(100, HIGHEST, "Height of the free wall.", True)  # type: ignore[valid-type]


class ObstacleAsked(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """A rectangle on or in front of the wall in which nothing may hang: a door, a switch, a sofa, a thermostat."""

    name: Annotated[_Text, Meta(description="What it is, for the drawing.")]
    left_mm: _length(0, WIDEST, "Its left edge, from the left edge of the wall.", True)  # type: ignore[valid-type]
    width_mm: _length(1, WIDEST, "Its width.", True)  # type: ignore[valid-type]
    height_mm: _length(1, HIGHEST, "Its height.", True)  # type: ignore[valid-type]
    bottom_mm: _length(0, HIGHEST, "Its lower edge above the floor; without it, 0.") = None  # type: ignore[valid-type]
    clearance_mm: _length(0, 5_000, "How far works keep away from it on every side; without it, 0.") = None  # type: ignore[valid-type]


_FIELDS: dict[str, tuple[Any, Any]] = {
    "venue": (_Text | None, "The venue's name; without it the service's default venue."),
    "wall_name": (_Text | None, "One of the venue's walls. Give it, or wall."),
    "wall": (WallMeasures | None, "The measures of a wall that the venue does not list."),
    "obstacles": (Annotated[tuple[ObstacleAsked, ...], Meta(max_length=MOST_OBSTACLES)] | None, "What is in the way."),
    "rows": (
        Annotated[int, Meta(ge=1, le=MOST_ROWS)]
        | Annotated[tuple[Annotated[tuple[_Text, ...], Meta(min_length=1)], ...], Meta(min_length=1, max_length=MOST_ROWS)]
        | None,
        "How many rows; or the refs of each row, from left to right, the upper row first. Without it, one row.",
    ),
    "spacing": (
        Spacing | None,
        "equal (the default): all gaps alike, at the ends too. spread: the outer works at the ends, gaps between alike. gap: fixed gaps, "
        "the row in the middle.",
    ),
    "gap_mm": (_length(0, 10_000, ""), "The gap of a row with fixed gaps, or the least gap of others; without it, the wall's own or 0."),
    "row_gap_mm": (_length(0, 10_000, ""), "Free wall between two rows; without it, the gap, or 100 mm."),
    "align": (
        Align | None,
        "What the works of a row have in common: their middles (the default), upper or lower edges.",
    ),
    "line_mm": (
        _length(0, HIGHEST, ""),
        "Height of the common line above the floor (of several rows: of their middle); without it, works hang about the venue's height.",
    ),
    "order": (
        Order | None,
        "given (the default): from left to right as they are listed. free: whichever order is best.",
    ),
}


def wire_of(schema: Schema) -> type[msgspec.Struct]:
    """Return the wire type of a request, with works as the installed packs describe them."""
    works = Annotated[list[schema.work], Meta(min_length=1, max_length=MOST_WORKS, description="The works, with outer sizes.")]  # type: ignore[name-defined]
    fields: list[Any] = [("works", works)]
    fields += [(name, Annotated[kind, Meta(description=about)], None) for name, (kind, about) in _FIELDS.items()]
    doc = "Works to hang on one wall: what is in the way there, and how they are to hang."
    return msgspec.defstruct("WallPlanRequest", fields, kw_only=True, forbid_unknown_fields=True, namespace={"__doc__": doc})


class Asked(msgspec.Struct, frozen=True):
    """A request that was read: the task, and what the answer needs beside it."""

    evaluator: Evaluator
    works: list[Any]
    reads: list[ReadWork]
    sizes: list[Outer]
    task: Task
    wall_name: str | None
    spacing: Spacing


class Reader:
    """Reads one body."""

    def __init__(self, intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None) -> None:
        """Take the reader of works and the venues that the caller may name."""
        self.intake, self.evaluators, self.default = intake, evaluators, default
        self.faults = FaultList()

    def read(self, body: bytes) -> Asked:
        """Return the request. Raises BadInput with everything that is wrong with it."""
        value = plain(body)
        top = Fields(self.faults, (), value, ("works", *_FIELDS), "A wall plan")
        venue = top.text("venue", "The venue", 80)
        evaluator = self.evaluators.get(venue or self.default or "")
        works = works_of(self.intake, evaluator, top.given.get("works"), venue, "works", self.faults, most=MOST_WORKS)
        sides, name, evaluator = self._wall(top, evaluator)
        obstacles = [self._obstacle(path, one, sides) for path, one in top.entries("obstacles", "The obstacles", MOST_OBSTACLES)]
        rows = self._rows(top, [one.ref for one in works])
        layout = self._layout(top)
        reads, sizes = self._sizes(evaluator, works, name) if evaluator is not None else ([], [])
        if self.faults or evaluator is None or sides is None:
            raise BadInput("invalid", self.faults.listed())
        task = self._task(evaluator, sides, obstacles, [one.ref for one in works], reads, sizes, rows, layout)
        return Asked(evaluator, hung_at(works, name), reads, sizes, task, None if name == OWN_WALL else name, task.spaces.spacing)

    def _wall(self, top: Fields, evaluator: Evaluator | None) -> tuple[tuple[int, int] | None, str, Evaluator | None]:
        """Return the wall's width and height, its name, and the evaluator that knows it."""
        name = top.text("wall_name", "The wall's name", 80)
        own = top.given.get("wall")
        if (name is None) == (own is None) and "/wall_name" not in {one.pointer for one in self.faults.shown}:
            top.fault("wall", "Name one of the venue's walls as wall_name, or give the measures of another as wall; one of the two.")
        if own is not None:
            fields = Fields(self.faults, ("wall",), own, ("width_mm", "height_mm"), "The wall")
            width = fields.length("width_mm", "Wall width", 100, WIDEST, REQUIRED)
            height = fields.length("height_mm", "Wall height", 100, HIGHEST, REQUIRED)
            if width is None or height is None or evaluator is None:
                return None, OWN_WALL, evaluator
            measures = {"width_mm": width, "height_mm": height}
            return (math.floor(width), math.floor(height)), OWN_WALL, with_wall(evaluator, OWN_WALL, measures)
        if name is None or evaluator is None:
            return None, name or "", evaluator
        return self._listed(top, name, evaluator), name, evaluator

    def _listed(self, top: Fields, name: str, evaluator: Evaluator) -> tuple[int, int] | None:
        """Return the measures of a wall that the venue lists."""
        places, schema = evaluator.ruleset.places, evaluator.ruleset.schema
        if name not in places:
            known = ", ".join([*places][:5]) or "none; give its measures as wall"
            top.fault("wall_name", f"This venue has no wall {quote(name)}; it has {known}.{nearest(name, list(places))}")
            return None
        found = [places[name][schema.by_path[path].index - schema.wall_start] for path in ("wall.width_mm", "wall.height_mm")]
        if None in found:
            top.fault("wall_name", "The venue does not say how wide and how high this wall is; give its measures as wall instead.")
            return None
        return math.floor(found[0]), math.floor(found[1])

    def _obstacle(self, path: tuple[str | int, ...], value: Any, sides: tuple[int, int] | None) -> Obstacle:
        """Return an obstacle, rounded outwards."""
        fields = Fields(self.faults, path, value, ObstacleAsked.__struct_fields__, "An obstacle")
        name = fields.text("name", "The obstacle's name", 80, REQUIRED) or ""
        left = fields.length("left_mm", "Its left edge", 0, WIDEST, REQUIRED)
        width = fields.length("width_mm", "Its width", 1, WIDEST, REQUIRED)
        height = fields.length("height_mm", "Its height", 1, HIGHEST, REQUIRED)
        bottom = fields.length("bottom_mm", "Its lower edge", 0, HIGHEST, 0)
        clearance = fields.length("clearance_mm", "Its clearance", 0, 5_000, 0)
        if left is None or width is None or height is None or bottom is None or clearance is None:
            return Obstacle(name, 0, 0, 1, 1)
        if sides is not None and (left + width > sides[0] or bottom + height > sides[1]):
            self.faults.add(pointer_of(path), f"This reaches beyond the wall, which is {sides[0]} mm wide and {sides[1]} mm high.")
        x, y = math.floor(left), math.floor(bottom)
        return Obstacle(name, x, y, math.ceil(left + width) - x, math.ceil(bottom + height) - y, math.ceil(clearance))

    def _rows(self, top: Fields, refs: list[str]) -> int | list[list[str]]:
        """Return how many rows there are, or the refs of each."""
        value = top.given.get("rows")
        if not isinstance(value, list):
            return top.whole("rows", "The number of rows", 1, MOST_ROWS, 1)
        good = 1 <= len(value) <= MOST_ROWS and all(isinstance(row, list) and row for row in value)
        if not good or not all(isinstance(one, str) and 0 < len(one) <= 80 for row in value for one in row):
            top.fault("rows", f"The rows must be a number, or 1 to {MOST_ROWS} lists of refs, the upper row first.")
            return 1
        listed = [one for row in value for one in row]
        if refs and sorted(listed) != sorted(refs):
            odd = sorted((set(listed) ^ set(refs)) or {one for one in listed if listed.count(one) > 1})
            top.fault("rows", f"The rows must name every work once; look at {', '.join(map(quote, odd[:3]))}.")
            return 1
        return value

    def _layout(self, top: Fields) -> dict[str, Any]:
        return {
            "spacing": top.choice("spacing", "The spacing", SPACINGS, "equal"),
            "align": top.choice("align", "What the works have in common", ALIGNS, "centre"),
            "order": top.choice("order", "The order", ORDERS, "given"),
            "gap": top.length("gap_mm", "The gap", 0, 10_000),
            "row_gap": top.length("row_gap_mm", "The gap between rows", 0, 10_000),
            "line": top.length("line_mm", "The height of the line", 0, HIGHEST),
        }

    def _sizes(self, evaluator: Evaluator, works: list[Any], wall: str) -> tuple[list[ReadWork], list[Outer]]:
        """Return the works as rules see them and their outer sizes; what is missing or cannot be is a fault: nothing unknown is drawn."""
        schema, place = evaluator.ruleset.schema, evaluator.ruleset.places.get(wall) or evaluator.ruleset.anywhere
        reads, sizes = [], []
        for number, work in enumerate(works):
            if work.wall_name not in (None, wall):
                self.faults.add(f"/works/{number}/wall_name", "This work is meant for another wall; leave the wall out here.")
            read = evaluator.read_at(work, place)
            found, odd = outer(schema, read), mismatch(schema, read)
            if odd is not None:
                self.faults.add(f"/works/{number}/" + odd[0].replace(".", "/"), odd[1])
            elif isinstance(found, Outer):
                reads.append(read)
                sizes.append(found)
            else:
                for path in found:
                    ask = schema.by_path[path].ask
                    where = f"/works/{number}/" + path.replace(".", "/")
                    self.faults.add(where, f"{ask.title} is missing, and a wall plan needs outer sizes. {ask.prompt}")
        return reads, sizes

    def _task(
        self, evaluator: Evaluator, sides: tuple[int, int], obstacles: list[Obstacle], refs: list[str], reads: list[ReadWork],
        sizes: list[Outer], rows: int | list[list[str]], layout: dict[str, Any],
    ) -> Task:  # fmt: skip
        """Return the task in whole millimetres: works rounded up, the wall down."""
        figures = Figures(evaluator.ruleset)
        items = {ref: Item(ref, math.ceil(one.width), math.ceil(one.height)) for ref, one in zip(refs, sizes, strict=True)}
        surface = Surface(
            *sides, tuple(obstacles), end=math.ceil(figures.limit(Means.ROW_END, 0)),
            above_floor=math.ceil(figures.limit(Means.ABOVE_FLOOR, 0)), below_top=math.ceil(figures.limit(Means.BELOW_TOP, 0)),
        )  # fmt: skip
        gap = self._gap(figures, reads, layout)
        between = gap or USUAL_ROW_GAP_MM if layout["row_gap"] is None else round(layout["row_gap"])
        line = None if layout["line"] is None else round(layout["line"])
        lines = Lines(layout["align"], round(figures.limit(Means.CENTRE_HEIGHT, USUAL_MIDDLE_MM)), line, between)
        free = layout["order"] == "free"
        named = [list(items)] if isinstance(rows, int) else rows
        made = tuple(tuple(items[ref] for ref in (sorted(row) if free else row)) for row in named)
        if self.faults:
            raise BadInput("invalid", self.faults.listed())
        return Task(surface, made, Spaces(layout["spacing"], gap or 0), lines, rows if isinstance(rows, int) else len(rows), free)

    def _gap(self, figures: Figures, reads: list[ReadWork], layout: dict[str, Any]) -> int | None:
        """Return the gap in whole millimetres; a fixed one that is not given is the wall's own."""
        gap = layout["gap"]
        if gap is None and layout["spacing"] == "gap":
            gap = figures.fact(reads[0], Means.ROW_GAP)
            if gap is None:
                self.faults.add("/gap_mm", "Say how wide the gaps are, such as 150; this wall has no gap of its own.")
        return None if gap is None else round(gap)
