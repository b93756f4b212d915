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
    """Return the outer size, or what would tell it: a frame counts where there is one, else the work itself."""
    if size.framed is None:
        return Undecided(("framed",))
    if not size.framed:
        return _both(("width_mm", size.width), ("height_mm", size.height))
    return _both(("frame.width_mm", size.frame_width), ("frame.height_mm", size.frame_height))


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
