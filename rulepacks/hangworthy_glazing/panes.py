"""Which works have a pane, and how large it is when only the work or the rebate was measured."""

from typing import NamedTuple, get_args

from hangworthy.contract import GlazingMaterial, Kind, fact, where

PAPER_KINDS = ("work-on-paper", "original-print", "photograph", "reproduction")
FLAT_KINDS = tuple(kind for kind in get_args(Kind) if kind != "sculpture")
BOARD_KINDS = tuple(kind for kind in FLAT_KINDS if kind not in PAPER_KINDS)
MATERIALS = tuple(material for material in get_args(GlazingMaterial) if material != "none")
PLASTICS = ("acrylic", "polycarbonate")

FRAMED = where("framed", True)
# A work that is not framed, or whose frame holds no pane, is left out by data: nothing else is asked of it.
PANE = (where("kind", *FLAT_KINDS), FRAMED, where("glazing.material", *MATERIALS))
REBATE = ("frame.rebate_width_mm", "frame.rebate_height_mm")

Sides = tuple[float, float]


class Measured(NamedTuple):
    """What was measured round a pane, as facts; None where it is not known."""

    rebate_width: float | None = fact("frame.rebate_width_mm", optional=True)
    rebate_height: float | None = fact("frame.rebate_height_mm", optional=True)
    width: float | None = fact("width_mm", optional=True)
    height: float | None = fact("height_mm", optional=True)

    @property
    def rebate(self) -> tuple[float | None, float | None]:
        """The sides of the rebate."""
        return self.rebate_width, self.rebate_height

    @property
    def work(self) -> tuple[float | None, float | None]:
        """The sides of the work."""
        return self.width, self.height


class PaneSize(NamedTuple):
    """The sides of a pane, at least and at most [mm]."""

    least: Sides
    most: Sides


def pane_size(rebate: tuple[float | None, float | None], work: tuple[float | None, float | None], border_mm: float) -> PaneSize | None:
    """Return what is known of a pane's size; None when neither rebate nor work was measured.

    A pane fills its rebate but for its play. Without a rebate it is at least as large as the work, and at most larger by a mat's border all
    round.
    """
    if rebate[0] is not None and rebate[1] is not None:
        return PaneSize((rebate[0], rebate[1]), (rebate[0], rebate[1]))
    if work[0] is None or work[1] is None:
        return None
    return PaneSize((work[0], work[1]), (work[0] + 2 * border_mm, work[1] + 2 * border_mm))
