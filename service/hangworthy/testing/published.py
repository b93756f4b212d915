"""Published rows: a pack's formulas held against printed tables and values derived by hand."""

from typing import NamedTuple

from hangworthy.contract import RulePack
from hangworthy.rows import Number, Row, RowError, agrees, compute, read_rows


class RowResult(NamedTuple):
    """One row: what the table says, what the formula gives (None where it raised), and whether they agree within the tolerance."""

    row: Row
    holds: bool
    got: Number | None
    text: str

    def __str__(self) -> str:
        """Return the row as a test's id shows it."""
        return self.row.id


def check_rows(pack: RulePack) -> list[RowResult]:
    """Return every published row of a pack with what its formula gives; none for a pack without them. Raises RowError for a bad file."""
    return [_result(pack, row) for row in read_rows(pack)]


def _result(pack: RulePack, row: Row) -> RowResult:
    """A formula that raises is a row that does not hold; the others are still checked."""
    try:
        got = compute(pack, row)
    except RowError as error:
        return RowResult(row, False, None, str(error))
    asked = ", ".join(f"{name}={value}" for name, value in row.inputs.items())
    text = f"{row.id}: {row.formula}({asked}) is {got}, expected {row.expected} ± {row.tolerance} ({row.source}, {row.where})"
    return RowResult(row, agrees(row, got), got, text)
