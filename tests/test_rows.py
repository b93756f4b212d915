"""Published rows: read, recomputed, compared; and the sentence for each way in which a row can be wrong."""

import math
from types import SimpleNamespace
from typing import Any, NamedTuple

import msgspec
import pytest

from hangworthy.contract import RulePack
from hangworthy.rows import RowError, agrees, compare, compute, read_rows

ROW = """
[[row]]
id = "A-1"
source = "A book"
where = "table 1"
status = "D"
formula = "half"
inputs = { value = 3 }
expected = 1.5
tolerance = 0.01
why = "the last digit"
"""


class Three(NamedTuple):
    """A record of results."""

    one: float
    two: tuple[float, float]


class Record(msgspec.Struct):
    """Another."""

    one: float


FORMULAS = SimpleNamespace(
    half=lambda value: value / 2,
    parts=lambda values: Three(values[0], (values[1], len(values))) if isinstance(values, tuple) else None,
    record=lambda: Record(2.0),
    named=lambda: {"a": 1, "b": 2},
    nan=lambda: math.nan,
    fails=lambda: 1 / 0,
    number=7,
)


def pack(text: str = ROW) -> RulePack:
    return RulePack(name="p", version="1", title="P", rules=[], cases={}, published=text, formulas=FORMULAS)


def row(formula: str, inputs: str, expected: str) -> str:
    text = ROW.replace('"half"', f'"{formula}"').replace("{ value = 3 }", inputs)
    return text.replace("expected = 1.5", f"expected = {expected}")


@pytest.mark.parametrize(
    ("text", "got", "good"),
    [
        (ROW, 1.5, True),
        (row("half", "{ value = 3.018 }", "1.5"), 1.509, True),
        (row("half", "{ value = 3.1 }", "1.5"), 1.55, False),
        (row("parts", "{ values = [1, 2] }", "[1, 2, 2]"), (1.0, 2.0, 2.0), True),
        (row("parts", "{ values = [1, 2] }", "[1, 2]"), (1.0, 2.0, 2.0), False),
        (row("record", "{}", "[2]"), (2.0,), True),
        (row("named", "{}", "[1, 2]"), (1.0, 2.0), True),
    ],
)
def test_a_row_is_computed_and_compared(text: str, got: Any, good: bool) -> None:
    (one,) = compare([pack(text)])
    assert one.got == got
    assert one.agrees is good


def test_nan_never_agrees() -> None:
    one = pack(row("nan", "{}", "1"))
    (read,) = read_rows(one)
    assert not agrees(read, compute(one, read))


def test_no_rows_is_no_fault() -> None:
    assert compare([pack("")]) == []


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[[row", "pack p: its published rows cannot be read"),
        ("[[rows]]", r"stand under \[\[row\]\], not under rows"),
        (ROW.replace("why", "reason"), "pack p, row A-1: Object contains unknown field `reason`"),
        (ROW.replace("tolerance = 0.01\n", ""), "row A-1: Object missing required field `tolerance`"),
        (ROW.replace('id = "A-1"\n', ""), "row number 1: "),
        ("row = [3]", "row number 1: "),
        (ROW + ROW, "row A-1 is there twice"),
        (row("gone", "{}", "1"), "row A-1: there is no formula gone"),
        (row("number", "{}", "1"), "there is no formula number"),
        (row("fails", "{}", "1"), "row A-1: fails raised ZeroDivisionError"),
        (row("half", "{ wrong = 1 }", "1"), "row A-1: half raised TypeError"),
    ],
)
def test_a_wrong_row_is_named(text: str, sentence: str) -> None:
    with pytest.raises(RowError, match=sentence):
        compare([pack(text)])
