"""Sketches: the drawings that packs can make, read once at load as rules are, and the bounds of what they may return."""

import math
from typing import Any, get_type_hints

import msgspec

from hangworthy.contract.drawing import Box, Dot, Drawing, Line, Note, Sketch, Span
from hangworthy.contract.pack import RulePack
from hangworthy.engine.schema import Schema, Slot
from hangworthy.engine.signature import BadSignature, condition_of, fact_of, facts_named, slot_at
from hangworthy.engine.template import Template

_ENDS = ("x1", "y1", "x2", "y2")
_FIGURES = {Line: _ENDS, Span: _ENDS, Box: ("x", "y", "width", "height"), Dot: ("x", "y"), Note: ("x", "y")}


class SketchEntry(msgspec.Struct, frozen=True):
    """One sketch of one pack: a slot per fact it names, which may be missing, when it applies, and the codes of the rules it shows."""

    pack: RulePack
    sketch: Sketch
    takes_limits: bool
    slots: tuple[Slot, ...]
    optional: tuple[bool, ...]
    conditions: tuple[tuple[tuple[Slot, ...], frozenset[Any] | None], ...]
    among: tuple[Slot, ...]
    of: tuple[str, ...]


def sound(sketch: Sketch, drawing: Any) -> Drawing:
    """Return a drawing if it can be drawn. Raises ValueError for one that is none, that is empty, or that holds NaN or infinity.

    KeyError names words that the sketch does not have, or a value that they lack.
    """
    if not isinstance(drawing, Drawing) or not drawing.views or not all(view.shapes for view in drawing.views):
        raise ValueError("a sketch should return a Drawing with something in it, or None")
    for view in drawing.views:
        if view.says:
            Template(sketch.says[view.says]).fill(view.named)
        for shape in view.shapes:
            if not all(math.isfinite(getattr(shape, name)) for name in _FIGURES[type(shape)]):
                raise ValueError("a drawing should hold finite numbers")
            if isinstance(shape, Note):
                Template(sketch.says[shape.says]).fill(shape.named)
            elif isinstance(shape, Span) and shape.says:
                Template(sketch.says[shape.says]).fill({"figure": ""})
    if "caption" in sketch.says:
        Template(sketch.says["caption"]).fill(drawing.named)
    return drawing


def read_sketch(pack: RulePack, sketch: Sketch, schema: Schema) -> SketchEntry:
    """Return what a sketch's signature says, as a rule's is read. Raises BadSignature naming the path or the parameter at fault."""
    unknown = sorted(set(sketch.of) - {rule.name for rule in pack.rules})
    if unknown or not sketch.of:
        raise BadSignature("bad-drawing", f"shows the rule {unknown[0]}, which is not in the pack" if unknown else "shows no rule")
    try:
        hints = get_type_hints(sketch.function)
    except (NameError, TypeError, SyntaxError) as error:
        raise BadSignature("bad-signature", f"has an annotation that means nothing: {error}") from None
    takes_limits, refs = facts_named(pack, sketch.function, hints)
    slots: tuple[Slot, ...] = tuple(fact_of(ref, name, hints.get(name), sketch.over_set, schema) for name, ref in refs.items())
    return SketchEntry(
        pack, sketch, takes_limits, slots, tuple(ref.optional for ref in refs.values()),
        tuple(condition_of(one, schema) for one in sketch.applies), tuple(slot_at(path, schema) for path in sketch.among),
        tuple(f"{pack.name}.{name}" for name in sketch.of),
    )  # fmt: skip
