"""Published rows: the printed values that a pack's formulas are held against, read and recomputed."""

import math
import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from hangworthy.contract.pack import RulePack

Number = float | tuple[float, ...]


class RowError(ValueError):
    """Raised when a row cannot be read or computed; the message names pack, row and key."""


class Row(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One printed value: where it stands, how well it was read, and the formula and inputs that must give it.

    ``where`` is edition and table. ``status`` says how it was read (V1, V2, M-high, M-med, M-low, D). ``tolerance`` is absolute, in the
    unit of the result, and ``why`` is the reason for it.
    """

    id: str
    source: str
    where: str
    status: str
    formula: str
    inputs: dict[str, Any]
    expected: Number
    tolerance: float
    why: str


class Comparison(msgspec.Struct, frozen=True):
    """A row beside what the pack's formula gives for it."""

    pack: str
    row: Row
    got: Number
    agrees: bool


def read_rows(pack: RulePack) -> list[Row]:
    """Return the published rows of a pack in their order; none when it has none. Raises RowError."""
    try:
        text = pack.published if isinstance(pack.published, str) else pack.published.read_text(encoding="utf-8")
        content = tomllib.loads(text)
    except (OSError, ValueError) as error:
        raise RowError(f"pack {pack.name}: its published rows cannot be read: {error}") from None
    if stray := sorted(set(content) - {"row"}):
        raise RowError(f"pack {pack.name}: published rows stand under [[row]], not under {stray[0]}")
    rows: list[Row] = []
    for place, one in enumerate(content.get("row", [])):
        name = one.get("id", f"number {place + 1}") if isinstance(one, dict) else f"number {place + 1}"
        try:
            rows.append(msgspec.convert(one, Row))
        except msgspec.ValidationError as error:
            raise RowError(f"pack {pack.name}, row {name}: {error}") from None
    ids = [row.id for row in rows]
    if twice := sorted({one for one in ids if ids.count(one) > 1}):
        raise RowError(f"pack {pack.name}: row {twice[0]} is there twice")
    return rows


def compute(pack: RulePack, row: Row) -> Number:
    """Return what the row's formula gives for its inputs: a number, or a tuple of them. Raises RowError."""
    formula = getattr(pack.formulas, row.formula, None)
    if not callable(formula):
        raise RowError(f"pack {pack.name}, row {row.id}: there is no formula {row.formula}")
    try:
        return _numbers(formula(**{name: _frozen(value) for name, value in row.inputs.items()}))
    except Exception as error:
        raise RowError(f"pack {pack.name}, row {row.id}: {row.formula} raised {type(error).__name__}: {error}") from error


def agrees(row: Row, got: Number) -> bool:
    """Return whether every number is within the row's tolerance of what was printed; NaN never is."""
    want, have = _listed(row.expected), _listed(got)
    return len(want) == len(have) and all(math.fabs(one - other) <= row.tolerance for one, other in zip(want, have, strict=True))


def compare(packs: Iterable[RulePack]) -> list[Comparison]:
    """Return every published row of the packs beside what their formulas give."""
    made = []
    for pack in packs:
        for row in read_rows(pack):
            got = compute(pack, row)
            made.append(Comparison(pack.name, row, got, agrees(row, got)))
    return made


def _frozen(value: Any) -> Any:
    """Return lists as tuples, as formulas take them."""
    return tuple(_frozen(one) for one in value) if isinstance(value, list) else value


def _listed(value: Number) -> tuple[float, ...]:
    return value if isinstance(value, tuple) else (value,)


def _numbers(result: Any) -> Number:
    """Return a formula's result, which may be a number, a record or a list of them, as plain floats."""
    if isinstance(result, msgspec.Struct):
        result = msgspec.structs.astuple(result)
    if isinstance(result, Mapping):
        result = tuple(result.values())
    if isinstance(result, int | float):
        return float(result)
    flat: list[float] = []
    for one in result:
        flat += _listed(_numbers(one))
    return tuple(flat)
