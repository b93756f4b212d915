"""What every pack's formulas and published rows owe a reader: units, validity, source, and the rows that hold them."""

import inspect
from collections import Counter
from types import ModuleType

import pytest

from hangworthy.contract import RulePack
from hangworthy.discovery import discover
from hangworthy.rows import Row, read_rows

PACKS = [one.pack for one in discover()[0] if one.distribution.startswith("hangworthy ")]
ROWS: dict[str, list[Row]] = {pack.name: read_rows(pack) for pack in PACKS}
STATUSES = {"V1", "V2", "M-high", "M-med", "M-low", "D"}


def formulas_of(pack: RulePack) -> ModuleType:
    assert isinstance(pack.formulas, ModuleType)
    return pack.formulas


FUNCTIONS = [
    pytest.param(pack, name, id=f"{pack.name}.{name}")
    for pack in PACKS
    for name in formulas_of(pack).__all__
    if inspect.isfunction(getattr(pack.formulas, name))
]


@pytest.mark.parametrize(("pack", "name"), FUNCTIONS)
def test_a_docstring_says_unit_validity_errors_and_source(pack: RulePack, name: str) -> None:
    function = getattr(pack.formulas, name)
    doc = inspect.getdoc(function) or ""
    for word in ("Returns:", "Validity", "rrors", "ource"):
        assert word in doc, word
    described = doc.partition("Parameters")[2].partition("Returns:")[0]
    assert [one for one in inspect.signature(function).parameters if one not in described] == []


@pytest.mark.parametrize(("pack", "name"), FUNCTIONS)
def test_a_formula_is_held_by_the_rows_that_its_docstring_names(pack: RulePack, name: str) -> None:
    """A formula that packs share needs a row in each of them; one without rows says why ("No row: …")."""
    function = getattr(pack.formulas, name)
    doc = " ".join((inspect.getdoc(function) or "").split())
    mine = [row.id for row in ROWS[pack.name] if row.formula == name]
    if not function.__module__.startswith(f"hangworthy_{pack.name}."):
        assert mine
    elif "No row: " in doc:
        assert mine == []
    else:
        assert doc.partition("Rows: ")[2].rstrip(".").split(", ") == mine


@pytest.mark.parametrize("pack", PACKS, ids=lambda pack: pack.name)
def test_formulas_are_listed_sorted_and_whole(pack: RulePack) -> None:
    listed = formulas_of(pack).__all__
    assert listed == sorted(listed)
    assert [name for name in listed if not hasattr(pack.formulas, name)] == []


@pytest.mark.parametrize("pack", PACKS, ids=lambda pack: pack.name)
def test_a_row_is_there_once_and_says_how_it_was_read(pack: RulePack) -> None:
    rows = ROWS[pack.name]
    assert [name for name, times in Counter(row.id for row in rows).items() if times > 1] == []
    assert [row.id for row in rows if row.status not in STATUSES] == []
    assert [row.id for row in rows if ("from memory" in row.source) != row.status.startswith("M")] == []


def test_there_are_enough_rows_from_enough_sources() -> None:
    rows = [row for found in ROWS.values() for row in found]
    assert len(rows) >= 150
