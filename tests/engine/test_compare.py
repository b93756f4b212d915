"""Comparison: nothing between equals, the same backwards, and complete: what is told leads from the first to the second."""

from typing import Any

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from hangworthy.contract import Stage
from hangworthy.engine.changes import FactChange
from hangworthy.engine.compare import (
    causes,
    compare,
    compare_facts,
    compare_findings,
    compare_questions,
    facts_of,
    findings_of,
    questions_of,
    same,
)

OPPOSITE = {"given": "gone", "gone": "given", "changed": "changed"}
NAMES = st.sampled_from(["a", "b", "a/b", "~", "gap_mm", ""])
LEAVES = st.none() | st.booleans() | st.integers(0, 2) | st.sampled_from([0.0, 1.0, 2.5]) | st.sampled_from(["", "1", "6 ± 1"])
VALUES = LEAVES | st.lists(LEAVES, max_size=3)
WORKS = st.dictionaries(NAMES, VALUES | st.dictionaries(NAMES, VALUES, max_size=3), max_size=4)

NUMBERS = st.none() | st.sampled_from([0.0, 1.0, 7.25])
LIMITS = st.fixed_dictionaries(
    {"name": st.sampled_from(["p.x_mm", "p.y_mm"]), "value": st.sampled_from([1.0, 2.0]), "unit": st.just("mm"),
     "source": st.sampled_from([{"title": "own"}, {"title": "printed"}])},
    optional={"reason": st.just("deep gaps")},
)  # fmt: skip
FINDINGS = st.lists(
    st.fixed_dictionaries(
        {"rule": st.sampled_from(["p.one", "p.two"]), "state": st.sampled_from(["met", "unmet", "unknown"]),
         "effect": st.sampled_from(["advise", "repair"])},
        optional={"by": st.sampled_from(["", "ruler"]), "measured": NUMBERS, "at_most": NUMBERS, "artist": st.text(max_size=3),
                  "missing": st.lists(st.sampled_from(["/a", "/b"]), max_size=2, unique=True),
                  "limits": st.lists(LIMITS, max_size=2, unique_by=lambda one: one["name"])},
    ),
    max_size=4,
)  # fmt: skip
QUESTIONS = st.lists(
    st.fixed_dictionaries(
        {"fact": st.sampled_from(["/a", "/b", "/c"]), "effect": st.sampled_from(["prepare", "repair"]),
         "settles": st.lists(st.sampled_from(["p.one", "p.two"]), max_size=2, unique=True)},
    ),
    max_size=3,
    unique_by=lambda one: one["fact"],
)  # fmt: skip


def applied(before: dict[Any, Any], changes: Any, key: Any) -> dict[Any, Any]:
    """Return what comes of the first when every change is carried out, checking that each fits what was there."""
    made = dict(before)
    for one in changes:
        place = key(one)
        assert (place in before) == (one.change != "given")
        if one.change == "gone":
            del made[place]
        else:
            made[place] = one.after
    return made


def alike(one: dict[Any, Any], other: dict[Any, Any]) -> bool:
    return one.keys() == other.keys() and all(same(value, other[name]) for name, value in one.items())


def turned(change: Any) -> Any:
    return msgspec.structs.replace(change, change=OPPOSITE[change.change], before=change.after, after=change.before)


@given(WORKS, WORKS)
@settings(max_examples=300)
def test_facts(before: Any, after: Any) -> None:
    changes = compare_facts(before, after)
    assert compare_facts(before, before) == ()
    assert compare_facts(after, before) == tuple(map(turned, changes))
    assert alike(applied(facts_of(before), changes, lambda one: one.pointer), facts_of(after))
    assert (changes == ()) == alike(facts_of(before), facts_of(after))


@given(FINDINGS, FINDINGS)
@settings(max_examples=300)
def test_findings(before: Any, after: Any) -> None:
    changes = compare_findings(before, after)
    assert compare_findings(before, before) == ()
    back = compare_findings(after, before)
    assert [turned(one) for one in changes] == [msgspec.structs.replace(one, limits=tuple(map(turned, one.limits))) for one in back]
    first, second = findings_of(before), findings_of(after)
    assert applied(first, changes, lambda one: (one.rule, one.by, one.number)) == second
    for one in changes:
        if one.change == "changed":
            limits = [{limit.name: limit for limit in state.limits} for state in (one.before, one.after)]
            assert applied(limits[0], one.limits, lambda limit: limit.name) == limits[1]
            assert one.differs
            assert all(getattr(one.before, name) != getattr(one.after, name) for name in one.differs)


@given(QUESTIONS, QUESTIONS)
def test_questions(before: Any, after: Any) -> None:
    changes = compare_questions(before, after)
    assert compare_questions(before, before) == ()
    assert compare_questions(after, before) == tuple(map(turned, changes))
    assert applied(questions_of(before), changes, lambda one: one.fact) == questions_of(after)


def test_true_is_not_one_and_one_is_one() -> None:
    assert compare_facts({"a": 1, "b": [1, True]}, {"a": 1.0, "b": [1.0, True]}) == ()
    assert compare_facts({"a": 1}, {"a": True}) == (FactChange("/a", "changed", 1, True),)
    assert [one.pointer for one in compare_facts({"b": [1]}, {"b": [True]})] == ["/b"]
    assert compare_facts({"a": None, "b": {}}, {}) == ()


def evaluation(*works: Any, packs: str = "1.0", version: int = 1) -> tuple[Any, Any]:
    answers = [
        {"ref": ref, "outcome": outcome, "at_worst": outcome, "settled": True, "checked": 1, "findings": findings, "questions": []}
        for ref, outcome, findings in works
    ]
    sent = {"works": [{"ref": ref} for ref, *_ in works]}
    return sent, {
        "stage": Stage.OFFER, "venue": {"name": "hall", "version": version, "fingerprint": "x"},
        "packs": [{"name": "p", "version": packs, "fingerprint": "f"}], "works": answers,
    }  # fmt: skip


def finding(state: str, limit: float) -> Any:
    source = {"title": "printed"}
    limits = [{"name": "p.x_mm", "value": limit, "unit": "mm", "source": source}]
    return {"rule": "p.one", "state": state, "effect": "repair", "measured": 5.0, "limits": limits}


def test_the_cause_is_the_rule_that_decides_otherwise_with_its_limit_and_its_pack() -> None:
    before = evaluation(("a", "ready", [finding("met", 6.0)]), ("b", "ready", [finding("met", 6.0)]))
    after = evaluation(("a", "repair", [finding("unmet", 4.0)]), ("b", "ready", [finding("met", 5.5)]), packs="1.1", version=2)
    changed = compare(before, after)
    assert changed.venue == ("hall, version 1", "hall, version 2")
    assert [(work.ref, len(work.findings)) for work in changed.works] == [("a", 1), ("b", 1)]
    (cause,) = causes(changed)
    assert (cause.ref, cause.rule, cause.before, cause.after) == ("a", "p.one", "met (repair)", "unmet (repair)")
    assert [(one.before.value, one.after.value, one.after.source) for one in cause.limits if one.before and one.after] == [
        (6.0, 4.0, {"title": "printed"})
    ]
    assert cause.pack is not None
    assert (cause.pack.before, cause.pack.after) == ("1.0 f", "1.1 f")


def test_a_work_that_came_and_one_that_went() -> None:
    changed = compare(evaluation(("a", "ready", [])), evaluation(("b", "repair", [finding("unmet", 4.0)])))
    assert [(one.ref, one.change) for one in changed.works] == [("a", "gone"), ("b", "given")]
    assert changed.works[1].findings[0].change == "given"
    assert compare(evaluation(("a", "ready", [])), evaluation(("a", "ready", []))) == msgspec.convert({}, type(changed))
