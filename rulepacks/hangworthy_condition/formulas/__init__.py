"""The condition pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from hangworthy_handbook.tape import tape_mpe

from .mould import mould_band
from .tolerance import size_tolerance, weight_tolerance

__all__ = ["mould_band", "size_tolerance", "tape_mpe", "weight_tolerance"]
