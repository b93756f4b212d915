"""From labelled groups to sizes in millimetres: units, commas, order; what stays open is said, and nothing is rounded or guessed."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, NamedTuple

import msgspec

from hangworthy.contract.reading import Convention, Size
from hangworthy.contract.units import Unit
from hangworthy.readings.model import Measure
from hangworthy.readings.order import Placed, placed
from hangworthy.readings.rules import RULES
from hangworthy.readings.segments import Labelled
from hangworthy.readings.words import DURATION, EACH, EITHER, ROUGH

LENGTH, WEIGHT, TIME = "a length", "a weight", "a length of time"
SMALLEST_MM, LARGEST_MM = 10, 20_000  # what a work may measure; only used to tell 1,200 from 1.2
_OWN: Final = frozenset(("sheet", "support", "object", "work"))
_COUNTED: Final = frozenset(("support", "image", "object", "displayed", "frame", "unconfirmed"))
_SAME: Final = Fraction(1, 100)  # how far the same size in another unit may be off
_SAME_MM: Final = 6.5  # a quarter of an inch, to which people round


class Sized(NamedTuple):
    """A size, the rule for its numbers, which number is which, and the rule that keeps it from being used (none: it may be)."""

    size: Size
    rule: str
    placed: Placed
    problem: str
    paper: bool = False


def sized(text: str, one: Labelled, shared: Unit | None, order: str, convention: Convention | None) -> Sized:
    """Return the size of one labelled group of lengths."""
    units = _units(one.measures, shared)
    rule = "paper-named" if one.paper else _rule(one) if any(measure.unit for measure in one.measures) or shared is None else "line-unit"
    numbers, problem = _numbers(one.measures, units)
    if problem == "likely-comma":
        rule, problem = problem, ""
    where = placed(one, numbers, order, convention) if numbers else Placed()
    rough = bool(one.words & (ROUGH | EITHER)) or any(measure.spread for measure in one.measures)
    if not problem and rough:
        problem = "range-open" if any(measure.spread for measure in one.measures) else "rough-open"
    if not problem and ((len(numbers) == 1 and not where.rule) or len(numbers) > 3):
        problem = "one-open" if len(numbers) == 1 else "what-open"
    if not problem and not all(SMALLEST_MM <= number <= LARGEST_MM for number in _sides(numbers, where)):
        problem = "sense-open"
    size = Size(
        of="work" if one.role == "unframed" else one.role, text=text[one.start : one.end], span=(one.start, one.end), numbers=numbers,
        height_mm=where.height, width_mm=where.width, depth_mm=where.depth, diameter_mm=where.across, order=where.rule,
        reason=RULES[where.rule].reason if where.rule else "", unit=next((unit.symbol for unit in units if unit), ""),
        each=bool(one.words & EACH), rough=rough, confidence=RULES[rule].confidence,
    )  # fmt: skip
    if not where.rule:
        size = _bare(size)
    return Sized(size, rule, where, problem, one.paper)


def _sides(numbers: Sequence[float], where: Placed) -> Sequence[float]:
    """Return what must be a likely height or width: nobody makes a work that is 1.2 mm high."""
    return [side for side in (where.height, where.width) if side is not None] if where.rule else numbers[:2]


def _bare(size: Size) -> Size:
    """Return a size whose order is open: the third number is its depth only if it is the smallest."""
    numbers = size.numbers
    if len(numbers) == 3 and numbers[2] < min(numbers[:2]):
        return msgspec.structs.replace(size, depth_mm=numbers[2])
    return size


def _rule(one: Labelled) -> str:
    if one.role in ("work", "unframed"):
        return "plain" if one.role == "work" else "worded"
    if not one.colon:
        return "worded"
    return f"label-{one.role}" if one.role in _COUNTED else "label-other"


def shared_unit(groups: Sequence[Labelled]) -> Unit | None:
    """Return the one unit of length that is written in a line; none where there are several."""
    units = {measure.unit for one in groups for measure in one.measures if measure.unit and measure.unit.dimension == LENGTH}
    return units.pop() if len(units) == 1 else None


def _units(measures: Sequence[Measure], shared: Unit | None) -> list[Unit | None]:
    """Return the unit of each measure: its own, else the next one's, else the one before, else the line's."""
    own = [measure.unit for measure in measures]
    following = next((unit for unit in reversed(own) if unit), shared)
    made: list[Unit | None] = []
    for unit in reversed(own):
        following = unit or following
        made.append(following)
    return made[::-1]


def _numbers(measures: Sequence[Measure], units: Sequence[Unit | None]) -> tuple[tuple[float, ...], str]:
    """Return the numbers in millimetres, and the rule that settles or prevents them."""
    if not all(units):
        return (), "number-open" if any(one.bad and not one.choices for one in measures) else "unit-open"
    made, rule = [], ""
    for measure, unit in zip(measures, units, strict=True):
        if unit is None or unit.dimension != LENGTH:
            return (), "number-open"
        number = measure.number
        if measure.bad:
            likely = [one for one in measure.choices if SMALLEST_MM <= one * unit.factor <= LARGEST_MM]
            if len(likely) != 1:
                return (), "comma-open" if measure.choices else "number-open"
            number, rule = likely[0], "likely-comma"
        made.append(float(number * unit.factor))
    if min(made) <= 0 or max(made) > 1e9:
        return (), "sense-open"
    return tuple(made), rule


def is_measured_in(one: Labelled, dimension: str) -> bool:
    """Return whether a group is a single measure of this dimension: a weight, a time."""
    return len(one.measures) == 1 and one.measures[0].unit is not None and one.measures[0].unit.dimension == dimension


def is_size(one: Labelled) -> bool:
    """Return whether a group could be a size. A bare number (“3 panels”) and a time (“7 min”) are none."""
    first = one.measures[0]
    if one.words & DURATION or is_measured_in(one, TIME) or is_measured_in(one, WEIGHT):
        return False
    return len(one.measures) > 1 or first.unit is not None or bool(first.axis) or first.bad


def repeats(one: Size, earlier: Size) -> bool:
    """Return whether a size is another one told again in a second unit: “61 × 91.4 cm (24 × 36 in)”."""
    if one.unit == earlier.unit or len(one.numbers) != len(earlier.numbers) or one.of not in (earlier.of, "work"):
        return False
    pairs = zip(one.numbers, earlier.numbers, strict=True)
    return all(abs(first - second) <= max(_SAME_MM, float(_SAME) * second) for first, second in pairs)


def same_sheet(one: Size, paper: Size) -> bool:
    """Return whether a size has the sides of a sheet that was called by its name, either way round."""
    if len(one.numbers) != 2 or one.of not in (paper.of, "work"):
        return False
    return all(abs(first - second) <= _SAME_MM for first, second in zip(sorted(one.numbers), sorted(paper.numbers), strict=True))


def fitted(made: Sequence[Sized]) -> list[Sized]:
    """Return the sizes, where one whose order is open can only go one way: an image is within its work, and a work within its frame."""
    known = next((one for one in made if one.size.of in _OWN and one.placed.rule and not one.problem), None)
    if known is None:
        return list(made)
    return [_fit(one, known.placed) if not one.placed.rule and not one.problem else one for one in made]


def _fit(one: Sized, work: Placed) -> Sized:
    if one.size.of not in ("frame", "image") or len(one.size.numbers) < 2 or work.height is None or work.width is None:
        return one
    first, second = one.size.numbers[:2]
    inside = one.size.of == "image"
    ways = [
        (high, wide)
        for high, wide in ((first, second), (second, first))
        if (high <= work.height and wide <= work.width if inside else high >= work.height and wide >= work.width)
    ]
    if len(ways) != 1:
        return one
    where = Placed(*ways[0], one.size.depth_mm, None, "order-fits")
    size = msgspec.structs.replace(
        one.size, height_mm=where.height, width_mm=where.width, order=where.rule, reason=RULES[where.rule].reason
    )  # fmt: skip
    return one._replace(size=size, placed=where)
