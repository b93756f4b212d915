"""Whatever a rule does, it harms its own finding only, and is never a pass."""

import math
from typing import Any

import msgspec
import pytest

from hangworthy.contract import Check, Effect, Outcome, State, Undecided, Words, at_most, fact, holds
from small_packs import PLAIN, evaluate, evaluator, finding, returning, small, small_rule

WORK = small(gap_mm=1, other_mm=1)


@small_rule("healthy", effect=Effect.PREPARE)
def healthy(other: float = fact("small.other_mm")) -> Check:
    """Is it healthy?"""
    return holds(True)


def _raise(error: BaseException):
    def act():
        raise error

    return act


BAD_ANSWERS = {
    "ValueError": _raise(ValueError("secret")),
    "ZeroDivisionError": lambda: 1 / 0,
    "RecursionError": _raise(RecursionError()),
    "MemoryError": _raise(MemoryError()),
    "OverflowError": lambda: math.exp(1e9),
    "AssertionError": _raise(AssertionError()),
    "StopIteration": _raise(StopIteration()),
    "SystemExit": _raise(SystemExit(0)),
    "NaN": lambda: at_most(math.nan, 1, unit="mm"),
    "infinity": lambda: at_most(-math.inf, 1, unit="mm"),
    "infinite limit": lambda: at_most(1, math.inf, unit="mm"),
    "NaN limit": lambda: Check(True, 1.0, math.nan),
    "None": lambda: None,
    "True": lambda: True,
    "text": lambda: "met",
    "a text as value": lambda: Check(True, "1", None, 2.0),
    "no yes or no": lambda: Check("yes"),
    "nothing for yes or no": lambda: Check(None),
    "too large": lambda: at_most(10**400, 10**401, unit="mm"),
    "a complex value": lambda: Check(True, 1j, None, 2.0),
    "an effect that was not declared": lambda: holds(True, effect=Effect.REFUSE),
    "an effect that is none": lambda: holds(True, effect="gentle"),
    "undecided about nothing": lambda: Undecided(()),
    "undecided about no fact": lambda: Undecided(("small.nonsense",)),
    "undecided about no text": lambda: Undecided((7,)),
}


@pytest.mark.parametrize("kind", BAD_ANSWERS)
def test_a_bad_answer_is_an_error_of_its_own_finding(kind: str) -> None:
    one = evaluator(healthy, returning(BAD_ANSWERS[kind]))
    answer = evaluate(one, WORK).works[0]
    good, bad = answer.findings
    assert (good.rule, good.state) == ("small.healthy", State.MET)
    assert (bad.state, bad.measured, bad.probability) == (State.ERROR, None, None)
    assert "secret" not in bad.coordinator
    assert bad.artist
    assert (answer.outcome, answer.at_worst, answer.settled) == (Outcome.READY, Outcome.REPAIR, False)
    assert b"NaN" not in msgspec.json.encode(answer)


class Unsaid:
    def __str__(self) -> str:
        raise RuntimeError("secret")


BAD_NAMED: dict[str, dict[str, Any]] = {
    "a name that the check does not carry": {},
    "a value that cannot be said": {"name": Unsaid()},
    "a figure without a unit": {"name": (3.0,)},
}


@pytest.mark.parametrize("kind", BAD_NAMED)
@pytest.mark.parametrize("place", ["met", "unmet", "remedy", "bench"])
def test_a_sentence_that_cannot_be_filled_is_an_error(kind: str, place: str) -> None:
    words = msgspec.structs.replace(PLAIN, **{place: "It is {name}."})
    answer = evaluate(evaluator(healthy, returning(holds(place == "met", **BAD_NAMED[kind]), words=words)), WORK).works[0]
    assert [found.state for found in answer.findings] == [State.MET, State.ERROR]
    assert b"secret" not in msgspec.json.encode(answer)


def test_one_answer_that_fails_among_several_tried_is_an_error() -> None:
    @small_rule("tried")
    def rule(keyed: bool = fact("small.keyed", try_each=True)) -> Check:
        """Is it so?"""
        return holds(True) if keyed else at_most(math.nan, 1, unit="mm")

    assert finding(rule, {}).state is State.ERROR


def test_an_error_of_one_way_of_measuring_does_not_hide_the_other() -> None:
    @small_rule("taut", by="a")
    def first(gap: float = fact("small.gap_mm")) -> Check:
        """Is it so?"""
        raise KeyError(gap)

    @small_rule("taut", by="b")
    def second(other: float = fact("small.other_mm")) -> Check:
        """Is it so?"""
        return holds(True)

    answer = evaluate(evaluator(first, second), WORK).works[0]
    assert [(found.by, found.state) for found in answer.findings] == [("a", State.ERROR), ("b", State.MET)]
    assert not answer.settled


def test_a_rule_cannot_change_what_the_next_one_sees() -> None:
    @small_rule("a-first")
    def first(many: tuple[float, ...] = fact("small.many_mm")) -> Check:
        """Is it a list that cannot be changed?"""
        return holds(type(many) is tuple)

    assert finding(first, small(many_mm=[1, "2 ± 1"])).state is State.MET


def test_words_without_an_effect_leave_no_remedy() -> None:
    words = Words(measure="X", met="-", unmet="Bad.", remedy={Effect.PREPARE: "Tap."})
    assert finding(returning(holds(False), words=words), WORK).remedy == ""
