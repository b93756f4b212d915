"""The quick reading of common quantities gives what the full reader gives, to the last bit, or leaves the text to it."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hangworthy.contract import quantities
from hangworthy.contract.plain import read_plain

NUMBERS = st.from_regex(r"[0-9]{1,9}(\.[0-9]{1,6})?", fullmatch=True)
UNITS = st.sampled_from(["", "mm", " mm", "cm", " in", "m", "kg", " lb", "g", "percent", "d", " weeks", "C", " F", "xyz"])


def outcome(read: Callable[[str, str], quantities.Measured], text: str, unit: str) -> quantities.Measured | str:
    try:
        return read(text, unit)
    except quantities.QuantityError as refused:
        return str(refused)


@given(NUMBERS, UNITS, st.one_of(st.just(""), st.tuples(NUMBERS, UNITS)), st.sampled_from(["mm", "kg", "d", "%", "°C", ""]))
def test_the_quick_reading_is_the_full_reading(number: str, written: str, bound: str | tuple[str, str], unit: str) -> None:
    text = number + written + (f" ± {bound[0]}{bound[1]}" if bound else "")
    assert outcome(quantities.parse_quantity, text, unit) == outcome(quantities._parse_fully, text, unit)


@pytest.mark.parametrize("text", ["6 ± 1", "63 in", "4.2 kg ± 0.1", "90cm"])
def test_common_texts_are_read_at_once(text: str) -> None:
    assert read_plain(text, "kg" if "kg" in text else "mm") is not None


@pytest.mark.parametrize("text", ["36 1/2 in", "1,2 m", "5' 3\"", "-3", "6 ± -1", "1e3", "two", ""])
def test_other_texts_are_left_to_the_full_reader(text: str) -> None:
    assert read_plain(text, "mm") is None
