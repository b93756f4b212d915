"""Drawings: plain shapes in millimetres, which a pack makes from the same facts, limits and formulas as its findings.

A sketch is a plain function of the facts it names, as a rule is. It is only asked when a preparation sheet is made::

    @sketch("gap", of=["gap"], title="The gap", says={"wall": "Wall", "gap": "{figure} gap"})
    def gap_drawn(limits: TinyLimits, gap: float = fact("tiny.gap_mm")) -> Drawing:
        return Drawing((View((Line(0, 0, 100, 0, part="wall"), Span(0, 0, 0, gap, side="left", says="gap"))),))

Coordinates are true millimetres, to the right and downwards; whoever draws chooses scale, size of letters and thickness of lines. A length
is never written by hand: a :class:`Span` shows the distance between its own two ends. Words stand apart under ``says``, so that they can
be said in another language.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal

import msgspec

from hangworthy.contract.rule import Condition, spread

Stroke = Literal["line", "thin", "heavy", "dashed", "none"]
Fill = Literal["none", "white", "light", "hatched", "dark"]
Side = Literal["above", "below", "left", "right", "on"]
Reader = Literal["artist", "coordinator"]
SketchFunction = Callable[..., Any]


class Line(msgspec.Struct, frozen=True):
    """A straight line. ``part`` names what it shows, for whoever looks it up in the drawing."""

    x1: float
    y1: float
    x2: float
    y2: float
    stroke: Stroke = "line"
    part: str = ""


class Box(msgspec.Struct, frozen=True):
    """An upright rectangle, from its upper left corner."""

    x: float
    y: float
    width: float
    height: float
    stroke: Stroke = "line"
    fill: Fill = "none"
    part: str = ""


class Dot(msgspec.Struct, frozen=True):
    """A point to find: a hook, a screw."""

    x: float
    y: float
    part: str = ""


class Note(msgspec.Struct, frozen=True):
    """Words at a place, in the middle or beside it; ``says`` is the name of the words, ``named`` fills them."""

    x: float
    y: float
    says: str
    side: Side = "on"
    named: Mapping[str, Any] = {}


class Span(msgspec.Struct, frozen=True):
    """A length to read off: the distance between two points, shown as a figure.

    ``side`` is where the dimension line stands, ``row`` how far out (0 nearest). With ``says`` the words of that name are shown, where
    ``{figure}`` is the length.
    """

    x1: float
    y1: float
    x2: float
    y2: float
    side: Side = "on"
    row: int = 0
    says: str = ""
    part: str = ""

    @property
    def length(self) -> float:
        """The distance between the two points [mm]."""
        return float(((self.x2 - self.x1) ** 2 + (self.y2 - self.y1) ** 2) ** 0.5)


Shape = Line | Box | Dot | Note | Span


class View(msgspec.Struct, frozen=True):
    """One view, drawn to one scale; ``says`` is the name of the words below it."""

    shapes: tuple[Shape, ...]
    says: str = ""
    named: Mapping[str, Any] = {}


class Drawing(msgspec.Struct, frozen=True):
    """What a sketch gives: one or more views. ``named`` fills the caption, the words of the name “caption”."""

    views: tuple[View, ...]
    named: Mapping[str, Any] = {}


class Sketch(msgspec.Struct, frozen=True, kw_only=True):
    """One drawing that a pack can make. Build it with :func:`sketch` or :func:`set_sketch`; calling it calls the function.

    ``of`` names the rules whose findings it shows: it is left out when one of them was answered otherwise than it is today.
    """

    name: str
    function: SketchFunction
    of: tuple[str, ...]
    title: str
    says: Mapping[str, str]
    shown_to: Reader = "artist"
    applies: tuple[Condition, ...] = ()
    over_set: bool = False
    among: tuple[str, ...] = ()

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the sketch's own function, as a test of it would."""
        return self.function(*args, **kwargs)


def sketch(
    name: str,
    *,
    of: Sequence[str],
    title: str,
    says: Mapping[str, str],
    shown_to: Reader = "artist",
    applies: Sequence[Condition] = (),
) -> Callable[[SketchFunction], Sketch]:
    """Make a function of named facts a sketch; it returns a Drawing, or None where there is nothing to draw.

    ``of`` lists rules of the same pack by name, ``title`` names the drawing, ``says`` holds its words by name; ``shown_to`` says on whose
    page it stands.
    """

    def make(function: SketchFunction) -> Sketch:
        return Sketch(
            name=name, function=spread(function, False), of=tuple(of), title=title, says=says, shown_to=shown_to, applies=tuple(applies)
        )  # fmt: skip

    return make


def set_sketch(
    name: str,
    *,
    of: Sequence[str],
    title: str,
    says: Mapping[str, str],
    among: Sequence[str] = (),
    shown_to: Reader = "coordinator",
    applies: Sequence[Condition] = (),
) -> Callable[[SketchFunction], Sketch]:
    """Make a function over several works a sketch, as a set rule is; it returns one Drawing (or None) per work, in that order.

    Works whose own facts are missing are left out.
    """

    def make(function: SketchFunction) -> Sketch:
        return Sketch(
            name=name, function=spread(function, True), of=tuple(of), title=title, says=says, shown_to=shown_to, applies=tuple(applies),
            over_set=True, among=tuple(among),
        )  # fmt: skip

    return make
