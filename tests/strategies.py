"""Strategies made from a composed schema: works whose facts are as a person might send them."""

import re
from collections.abc import Callable, Iterable
from typing import Any

import msgspec
from hypothesis import strategies as st

from hangworthy.contract import WorkAnswer
from hangworthy.contract.quantities import read_quantity
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.schema import Schema, Slot
from hangworthy_glazing.limits import GlazingLimits
from hangworthy_glazing.panes import REBATE

PANE = ("glazing.pane_width_mm", "glazing.pane_height_mm")
_BORDER_MM = GlazingLimits.declared["border_mm"].default
TEXTS = ("a", "b", "sea")  # every text that is drawn; a venue for drawn works has a wall by each of these names
# Near the limits of most rules, so that every state comes up often.
_NEAR = (0.0, 0.5, 1.0, 2.0, 4.0, 5.0, 5.5, 6.0, 6.5, 7.0, 9.0, 12.0, 20.0, 50.0, 400.0, 900.0, 1600.0)


def asked_again(answer: WorkAnswer) -> set[str]:
    """Rules that ask again for what is given: another answer goes against it, and without that one they would take it as it stands."""
    return {one.rule for one in answer.findings if one.missing and one.facts.keys() >= {*one.missing}}


def slots_read(catalogue: Catalogue) -> list[Slot]:
    """The facts of a work that any rule reads, or that decide whether one applies; not its reference, which each work needs for itself."""
    found: dict[int, Slot] = {}
    for entry in catalogue.entries:
        for slot in (*entry.slots, *entry.among, *(slot for slots, _ in entry.conditions for slot in slots)):
            if slot.index < catalogue.schema.wall_start and not slot.ask.required:
                found[slot.index] = slot
    return [found[index] for index in sorted(found)]


def _number(slot: Slot) -> st.SearchStrategy[Any]:
    lo = -1e6 if slot.ask.lo is None else float(slot.ask.lo)
    hi = 1e6 if slot.ask.hi is None else float(slot.ask.hi)
    near = [value for value in _NEAR if lo <= value <= hi] or [lo]
    exact = st.sampled_from(near) | st.floats(lo, hi, allow_nan=False)
    uncertain = st.tuples(st.sampled_from(near), st.sampled_from([0.1, 0.5, 1.0, 3.0])).map(lambda pair: f"{pair[0]} ± {pair[1]}")
    return exact | uncertain


def _text(slot: Slot) -> st.SearchStrategy[str]:
    """A few words, so that works often share one; or, where the text has a form, whatever has that form."""
    if slot.ask.pattern is None:
        return st.sampled_from(TEXTS)
    formed = st.from_regex(re.compile(slot.ask.pattern, re.ASCII), fullmatch=True)
    return formed.filter(lambda text: 0 < len(text) <= slot.ask.max_length)


def answers(slot: Slot) -> st.SearchStrategy[Any]:
    """Possible answers to one fact, ranges and choices kept."""
    lo, hi = slot.ask.lo, slot.ask.hi
    makers: dict[str, Callable[[], st.SearchStrategy[Any]]] = {
        "number": lambda: _number(slot),
        "count": lambda: st.integers(int(lo or 0), min(int(hi or 0), int(lo or 0) + 4) if hi is not None else 4),
        "yes_no": st.booleans,
        "choice": lambda: st.sampled_from(slot.choices),
        "text": lambda: _text(slot),
        "date": lambda: st.dates().map(str),
        "money": lambda: st.integers(0, 5000).map(str),
    }
    one = makers[slot.kind]()
    if slot.count is None:
        return one
    return st.lists(one, min_size=slot.count, max_size=slot.count or 3)


def facts(slots: Iterable[Slot], fixed: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Facts by path; any may be missing; those fixed have that one answer."""
    optional = {slot.path: answers(slot) for slot in slots}
    for path, value in fixed.items():
        optional[path] = st.just(value)
    return st.fixed_dictionaries({}, optional=optional)


def full_facts(slots: Iterable[Slot], fixed: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Facts by path, none missing."""
    every = {slot.path: answers(slot) for slot in slots}
    return st.fixed_dictionaries({**every, **{path: st.just(value) for path, value in fixed.items()}})


def vouched(found: dict[str, Any]) -> dict[str, Any]:
    """The facts without a rebate that is wider than the venue says any mat makes it, and without a pane that its rebate could not hold.

    That limit bounds a pane whose rebate is not known yet, as a rebate bounds a pane that was not measured, and what is met within them is
    met; what lies beyond is not one fact more but one that is wrong.
    """
    kept = dict(found)
    for side, rebate, pane in zip(("width_mm", "height_mm"), REBATE, PANE, strict=True):
        inner, outer, glass = (_nominal(found.get(path)) for path in (side, rebate, pane))
        widest = None if inner is None else inner + 2 * _BORDER_MM
        if outer is not None and not _lies_between(inner, outer, widest):
            del kept[rebate]
            outer = None
        if glass is not None and not _lies_between(inner, glass, widest if outer is None else outer):
            del kept[pane]
    return kept


def _nominal(value: Any) -> float | None:
    return None if value is None else read_quantity(str(value), "mm").value


def _lies_between(low: float | None, value: float, high: float | None) -> bool:
    return (low is None or low <= value) and (high is None or value <= high)


def as_work(ref: str, found: dict[str, Any]) -> dict[str, Any]:
    """The facts as a submission nests them."""
    work: dict[str, Any] = {"ref": ref}
    for path, value in found.items():
        section, _, name = path.rpartition(".")
        (work.setdefault(section, {}) if section else work)[name] = value
    return work


def wire(schema: Schema, works: list[dict[str, Any]]) -> list[Any]:
    """Works decoded as a request's body is."""
    return list(msgspec.json.decode(msgspec.json.encode({"works": works}), type=schema.request).works)
