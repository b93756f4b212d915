"""What hangs: its outer size, with its frame where it has one."""

from typing import NamedTuple

from hangworthy.contract import Undecided, fact, where

# A sculpture stands. A relief hangs; so may anything that is none of the listed kinds.
HANGS = (
    where(
        "kind",
        "stretched-canvas",
        "panel",
        "work-on-paper",
        "original-print",
        "photograph",
        "reproduction",
        "textile",
        "relief",
        "other",
    ),
)


class Size(NamedTuple):
    """The facts that an outer size is read from."""

    framed: bool | None = fact("framed", optional=True)
    width: float | None = fact("width_mm", optional=True)
    height: float | None = fact("height_mm", optional=True)
    frame_width: float | None = fact("frame.width_mm", optional=True)
    frame_height: float | None = fact("frame.height_mm", optional=True)


class Outer(NamedTuple):
    """Outer width and height [mm]."""

    width: float
    height: float


def outer(size: Size) -> Outer | Undecided:
    """Return the outer size, or what would tell it: a frame counts where there is one, else the work itself.

    A frame that is smaller than its work is a slip of the tape, in one of the two.
    """
    if size.framed is None:
        return Undecided(("framed",))
    if not size.framed:
        return _both(("width_mm", size.width), ("height_mm", size.height))
    slips = [path for path, frame, own in _framed(size) if frame is not None and own is not None and frame < own]
    if slips:
        return Undecided((*slips, *(path.removeprefix("frame.") for path in slips)))
    return _both(("frame.width_mm", size.frame_width), ("frame.height_mm", size.frame_height))


def at_least_outer(size: Size) -> tuple[float | None, float | None]:
    """Return how wide and how high a work is at least [mm], None where nothing tells: a frame only makes it larger.

    Of a frame and a work that do not go together the smaller counts, whichever of them is the slip.
    """
    if not size.framed:
        return size.width, size.height
    wide, high = (own if frame is None else frame for _, frame, own in _framed(size))
    return wide, high


def _framed(size: Size) -> tuple[tuple[str, float | None, float | None], ...]:
    """Return the frame and the work within it, along each side, with the path of the frame's."""
    return ("frame.width_mm", size.frame_width, size.width), ("frame.height_mm", size.frame_height, size.height)


def _both(width: tuple[str, float | None], height: tuple[str, float | None]) -> Outer | Undecided:
    missing = tuple(path for path, value in (width, height) if value is None)
    if missing or width[1] is None or height[1] is None:
        return Undecided(missing)
    return Outer(width[1], height[1])


class Depth(NamedTuple):
    """The facts that an outer depth is read from."""

    framed: bool | None = fact("framed", optional=True)
    depth: float | None = fact("depth_mm", optional=True)
    frame_depth: float | None = fact("frame.depth_mm", optional=True)


def outer_depth(depth: Depth) -> float | Undecided:
    """Return the outer depth [mm], or what would tell it."""
    if depth.framed is None:
        return Undecided(("framed",))
    value, path = (depth.frame_depth, "frame.depth_mm") if depth.framed else (depth.depth, "depth_mm")
    return Undecided((path,)) if value is None else value
