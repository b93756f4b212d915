"""A line of dimensions, read: the size of the work, of its image and its frame, its weight; and what must be asked."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from hangworthy.contract.reading import Convention, Size
from hangworthy.contract.units import field_unit
from hangworthy.readings.glazing import Pane, panes, read_panes
from hangworthy.readings.measures import pieces
from hangworthy.readings.model import Found, Unsure
from hangworthy.readings.segments import Labelled, labelled
from hangworthy.readings.sizes import WEIGHT, Sized, fitted, is_measured_in, is_size, repeats, same_sheet, shared_unit, sized

_WORK: Final = ("sheet", "support", "object", "work", "unconfirmed")  # the earlier one counts where several are given
_WHOLE: Final = ("overall", "displayed")
_SOURCE: Final = "dimensions"
_SAME_MM: Final = 1  # how much smaller than its work a frame may be said to be; people round
MOST_SIZES: Final = 30  # of a line; what stands behind them is not read


class DimensionsRead(NamedTuple):
    """What a line of dimensions says."""

    sizes: tuple[Size, ...]
    found: tuple[Found, ...]
    unsure: tuple[Unsure, ...]
    unread: tuple[tuple[int, int], ...]


def read_dimensions(text: str, convention: Convention | None = None) -> DimensionsRead:
    """Read a line of dimensions. Never raises; what it cannot read is left out and said."""
    line = pieces(text)
    groups, _ = labelled(line)
    orders = {piece.text for piece in line if piece.kind == "order"}
    told = orders.pop() if len(orders) == 1 else ""
    lengths = [one for one in groups if is_size(one)]
    shared = shared_unit(lengths)
    made: list[Sized] = []
    for one in lengths[:MOST_SIZES]:
        new = sized(text, one, shared, one.order or told, convention)
        if not any(new.size.numbers and repeats(new.size, old.size) and not old.paper for old in made):
            made = _beside(new, made)
    made = fitted(made)
    found, unsure = list[Found](), list[Unsure]()
    for item in (*(_swapped(made) or (*_work(made), *_frame(made))), *_pictures(made), *_weight(groups)):
        (found if isinstance(item, Found) else unsure).append(item)  # type: ignore[arg-type]
    seen = panes(text)
    for more in (*_framed(found, seen), *read_panes(seen, _SOURCE)):
        (found if isinstance(more, Found) else unsure).append(more)  # type: ignore[arg-type]
    known = [(one.start, one.end) for one in seen]
    strange = [
        (piece.start, piece.end)
        for one in groups
        for piece in one.strange
        if not any(start <= piece.start and piece.end <= end for start, end in known)
    ]
    idle = [(one.start, one.end) for one in groups if not is_size(one) and not is_measured_in(one, WEIGHT)]
    idle += [(one.start, one.end) for one in lengths[MOST_SIZES:]]
    return DimensionsRead(tuple(one.size for one in made), tuple(found), tuple(unsure), tuple(sorted(strange + idle)))


def _beside(new: Sized, made: list[Sized]) -> list[Sized]:
    """Return the sizes with a new one. “A3 (42 × 29.7 cm)” is one size told twice; the one that says which way it hangs counts."""
    twin = next((old for old in made if old.paper and same_sheet(new.size, old.size)), None)
    if twin is None:
        return [*made, new]
    return made if twin.placed.rule and not new.placed.rule else [new if one is twin else one for one in made]


Item = Found | Unsure


def _work(made: Sequence[Sized]) -> Iterator[Item]:
    """Yield the size of the work itself, unframed, or why it must be asked."""
    if not made:
        return
    chosen, why = _chosen(made)
    if chosen is None:
        span = (made[0].size.span[0], made[-1].size.span[1])
        yield Unsure(("height", "width"), _SOURCE, *span, why)
        return
    rule = "whole" if chosen.size.of in _WHOLE and len(made) > 1 else chosen.rule
    yield from _told(chosen, rule, ("height", "width", "depth"), "order-open")


def _chosen(made: Sequence[Sized]) -> tuple[Sized | None, str]:
    """Return the size that is the work's, or None and the rule that says what to ask."""
    whole = _only([one for one in made if one.size.of in _WHOLE and not one.size.each])
    for role in _WORK:
        alike = [one for one in made if one.size.of == role]
        if not alike:
            continue
        single = _only([one for one in alike if not one.size.each])
        if single is not None and not any(one.size.each for one in alike):
            return single, ""
        return (whole, "") if whole is not None else (None, "parts-open")
    if whole is not None:
        return whole, ""
    roles = {one.size.of for one in made}
    if "part" in roles or roles & set(_WHOLE):
        return None, "parts-open"
    return None, "sheet-open" if "image" in roles else "what-open"


def _only(alike: Sequence[Sized]) -> Sized | None:
    """Return the one size there is; the same numbers may be given more than once."""
    return alike[0] if alike and len({one.size.numbers for one in alike}) == 1 else None


def _told(one: Sized, rule: str, names: tuple[str, str, str], order_open: str) -> Iterator[Item]:
    """Yield height, width and depth of a size under these names, or what is open about it."""
    size, span = one.size, one.size.span
    if one.problem:
        yield Unsure(names[:2], _SOURCE, *span, one.problem)
        return
    if not one.placed.rule:
        three, order_open = len(size.numbers) == 3, "way-open" if one.paper else order_open
        yield Unsure(names if three and size.depth_mm is None else names[:2], _SOURCE, *span, order_open, ways=_ways(size))
        if size.depth_mm is not None:
            yield Found(names[2], size.depth_mm, _SOURCE, *span, "third", rule)
        return
    for name, value in zip(names, (size.height_mm, size.width_mm), strict=False):
        yield Unsure((name,), _SOURCE, *span, "half-open") if value is None else Found(name, value, _SOURCE, *span, one.placed.rule, rule)
    if size.depth_mm is not None:
        stated = one.placed.rule in ("order-stated", "order-named", "order-round")
        yield Found(names[2], size.depth_mm, _SOURCE, *span, one.placed.rule if stated else "third", rule)


def _ways(size: Size) -> tuple[tuple[str, str], ...]:
    """Return both ways to take a pair, in its own unit: height and width."""
    if len(size.numbers) - (size.depth_mm is not None) != 2:
        return ()
    scale = float(field_unit(size.unit).factor)
    first, second = (f"{number / scale:.6g} {size.unit}" for number in size.numbers[:2])
    return (first, second), (second, first)


def _frame(made: Sequence[Sized]) -> Iterator[Item]:
    framed = [one for one in made if one.size.of == "frame"]
    single = _only(framed)
    if framed:
        yield Found("framed", True, _SOURCE, *framed[0].size.span, "frame-there")
    if single is not None and not single.size.each:
        yield from _told(single, single.rule, ("frame_height", "frame_width", "frame_depth"), "frame-order-open")


def _framed(found: Sequence[Found], seen: Sequence[Pane]) -> Iterator[Found]:
    """Yield that it is framed, where that is said beside a pane and no frame was measured."""
    told = next((one.framed for one in seen if one.framed), None)
    if told and not any(one.name == "framed" for one in found):
        yield Found("framed", True, _SOURCE, *told, "framed-told")


def _swapped(made: Sequence[Sized]) -> tuple[Item, ...]:
    """Return what to ask where a frame would be smaller than the work in it, whichever way it is turned; nothing where it is not."""
    frame, (work, _) = _only([one for one in made if one.size.of == "frame"]), _chosen(made)
    if frame is None or work is None or frame.problem or work.problem or frame.size.each:
        return ()
    outer, inner = _sides_of(frame), _sides_of(work)
    if not (frame.placed.rule and work.placed.rule):
        outer, inner = sorted(outer), sorted(inner)
    if len(outer) < 2 or len(inner) < 2 or all(one >= other - _SAME_MM for one, other in zip(outer, inner, strict=True)):
        return ()
    spans = sorted((frame.size.span, work.size.span))
    names = ("height", "width", "frame_height", "frame_width")
    there = Found("framed", True, _SOURCE, *frame.size.span, "frame-there")
    return there, Unsure(names, _SOURCE, spans[0][0], spans[1][1], "frame-smaller")


def _sides_of(one: Sized) -> list[float]:
    """Return height and width of a size, or its first two numbers where it is open which is which."""
    if one.placed.rule:
        return [side for side in (one.placed.height, one.placed.width) if side is not None]
    return list(one.size.numbers[:2])


def _pictures(made: Sequence[Sized]) -> Iterator[Item]:
    """Yield image and window of the mat, each as one pair, width first."""
    for role in ("image", "window"):
        single = _only([one for one in made if one.size.of == role])
        if single is None or single.size.each or single.problem:
            continue
        size, name = single.size, f"{role}_size"
        if not single.placed.rule:
            yield Unsure((name,), _SOURCE, *size.span, "image-order-open", ways=_ways(size))
        elif size.height_mm is not None and size.width_mm is not None:
            yield Found(name, (size.width_mm, size.height_mm), _SOURCE, *size.span, single.placed.rule, single.rule)


def _weight(groups: Sequence[Labelled]) -> Iterator[Item]:
    """Yield what it weighs. Of several weights nobody knows which one hangs."""
    weights = [one for one in groups if is_measured_in(one, WEIGHT)]
    if not weights:
        return
    first = weights[0].measures[0]
    span = (weights[0].start, weights[-1].end)
    if len(weights) > 1:
        yield Unsure(("weight",), _SOURCE, *span, "weights-open")
    elif first.spread or first.bad:
        yield Unsure(("weight",), _SOURCE, *span, "range-open" if first.spread else "comma-open")
    elif first.unit is not None and first.number > 0:
        yield Found("weight", float(first.number * first.unit.factor), _SOURCE, *span, "weight")
