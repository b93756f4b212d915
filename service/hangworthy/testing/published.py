"""Published rows: a pack's formulas held against printed tables and values derived by hand."""

from typing import Any, NamedTuple

from hangworthy.contract import RulePack
from hangworthy.rows import compute, read_rows


class RowResult(NamedTuple):
    """One row: what the table says, what the formula gives, and whether they agree within the row's tolerance."""

    id: str
    holds: bool
    got: Any
    expected: Any
    tolerance: Any
    text: str

    def __str__(self) -> str:
        """Return the row as a test's id shows it."""
        return self.id


def check_rows(pack: RulePack) -> list[RowResult]:
    """Return every published row of a pack with what its formula gives. A formula that raises is a row that does not hold."""
    return [_result(pack, row) for row in read_rows(pack)] if pack.published else []


def _result(pack: RulePack, row: Any) -> RowResult:
    try:
        got = compute(pack, row)
    except Exception as error:  # noqa: BLE001 - the row is reported as not holding; the others are still checked
        return RowResult(
            row.id, False, None, row.expected, row.tolerance, f"{row.id}: {row.formula} raised {type(error).__name__}: {error}"
        )
    holds = _near(got, row.expected, row.tolerance)
    text = f"{row.id}: {row.formula}({row.inputs}) is {got}, expected {row.expected} ± {row.tolerance} ({row.source}, {row.where})"
    return RowResult(row.id, holds, got, row.expected, row.tolerance, text)


def _near(got: Any, expected: Any, tolerance: Any) -> bool:
    """Return whether a result is within its tolerance: number by number for lists, equal for anything else."""
    if isinstance(expected, list | tuple):
        if not isinstance(got, list | tuple) or len(got) != len(expected):
            return False
        bounds = tolerance if isinstance(tolerance, list | tuple) else [tolerance] * len(expected)
        return all(_near(one, want, bound) for one, want, bound in zip(got, expected, bounds, strict=True))
    if isinstance(expected, bool | str):
        return bool(got == expected)
    return bool(isinstance(got, int | float) and abs(got - expected) <= tolerance)
