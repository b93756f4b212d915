"""Which number is the height: decided line by line, and never without a reason."""

from collections.abc import Sequence
from typing import NamedTuple

from hangworthy.contract.reading import Convention
from hangworthy.readings.segments import Labelled
from hangworthy.readings.words import SHAPES


class Placed(NamedTuple):
    """The height, width and depth among the numbers of a size [mm], and the rule that decided; no rule: it is open.

    ``across`` is the diameter of a round work, whose height and width it then is.
    """

    height: float | None = None
    width: float | None = None
    depth: float | None = None
    across: float | None = None
    rule: str = ""


def placed(one: Labelled, numbers: Sequence[float], order: str, convention: Convention | None) -> Placed:
    """Return which number is which. ``order`` is written in the line (“hw”); ``convention`` was agreed with whoever sent it.

    What stands at the numbers themselves comes first, then a written order, the convention, the shape, and last a catalogue's habit.
    """
    if one.paper:  # its name says neither which way it hangs, nor an order
        return _by_shape(one, numbers) or Placed()
    axes = "".join(measure.axis or "." for measure in one.measures)
    if axes.strip("."):
        return _by_axes(axes, numbers)
    if len(numbers) < 2 or len(numbers) > 3:
        return Placed()
    if order:
        return _by_axes((order + "d" if len(order) < len(numbers) else order)[: len(numbers)], numbers, "order-named")
    shape = _by_shape(one, numbers)
    first = Placed(numbers[0], numbers[1], _third(numbers))
    second = Placed(numbers[1], numbers[0], _third(numbers))
    if convention is not None:
        agreed = first if convention == "height-first" else second
        if shape is not None and shape.height != agreed.height:
            return Placed()  # “60 × 90, portrait”, height first: one of the two is wrong
        return agreed._replace(rule="order-agreed")
    if numbers[0] == numbers[1]:
        return first._replace(rule="order-square")
    return shape or (first._replace(rule="order-catalogue") if one.colon else Placed())


def _third(numbers: Sequence[float]) -> float | None:
    return numbers[2] if len(numbers) > 2 else None


def _by_axes(axes: str, numbers: Sequence[float], rule: str = "order-stated") -> Placed:
    """Return what letters beside the numbers say; a number without one gets the axis that is left, where only one can be meant."""
    if len(axes) != len(numbers):
        return Placed()
    if "." in axes:
        axes = {"h.": "hw", ".w": "hw", "w.": "wh", ".h": "wh", "hw.": "hwd", "wh.": "whd", "h..": "hwd", "w..": "whd"}.get(axes, axes)
    if "l" in axes and "w" not in axes and "h" in axes:
        axes = axes.replace("l", "w")
    if len(set(axes)) < len(axes) or not set(axes) <= set("hwdo"):
        return Placed()
    said = dict(zip(axes, numbers, strict=True))
    if "o" in said:
        across = said["o"]
        if "w" in said:
            return Placed()
        if "h" in said:  # it stands upright: as wide and deep as it is across
            return Placed(said["h"], across, said.get("d", across), across, "order-stated")
        return Placed(across, across, said.get("d"), across, "order-round")
    return Placed(said.get("h"), said.get("w"), said.get("d"), None, rule)


def _by_shape(one: Labelled, numbers: Sequence[float]) -> Placed | None:
    shapes = {SHAPES[word] for word in one.words if word in SHAPES} - {"square"}
    if len(shapes) != 1 or numbers[0] == numbers[1]:
        return None
    small, large = sorted(numbers[:2])
    height, width = (large, small) if "portrait" in shapes else (small, large)
    return Placed(height, width, _third(numbers), None, "order-shape")
