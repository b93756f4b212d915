"""An artist's form must not ask sixty questions: at the offer about fifteen answers settle any one kind of work."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any, get_args

import msgspec
import pytest

from hangworthy.contract import Kind, Stage
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.schema import Slot

MOST = 15
EVALUATOR = Evaluator(Ruleset(build_catalogue(*discover()), Venue(name="anywhere")))


# Which of the possible answers is given: the first, the last, and one by the fact's own place, for a mixed way through the form.
PICKS: dict[str, Callable[[Slot], int]] = {"first": lambda slot: 0, "last": lambda slot: -1, "mixed": lambda slot: slot.index}


def _one(slot: Slot, size: float, pick: str) -> Any:
    if slot.kind == "number":
        return min(max(size, slot.ask.lo or 0), slot.ask.hi or size)
    if slot.kind in ("choice", "yes_no"):
        possible = slot.choices or slot.answers or ()
        return possible[PICKS[pick](slot) % len(possible)]
    return {"count": 0, "text": "text", "date": date(2026, 1, 1), "money": Decimal(1)}[slot.kind]


def _answer(slot: Slot, size: float, pick: str) -> Any:
    one = _one(slot, size, pick)
    return one if slot.count is None else [one] * (slot.count or 1)


@pytest.mark.parametrize("pick", PICKS)
@pytest.mark.parametrize("size", [1.0, 5.0, 1800.0])
@pytest.mark.parametrize("kind", get_args(Kind))
def test_fifteen_answers_settle_any_kind(kind: str, size: float, pick: str) -> None:
    schema = EVALUATOR.ruleset.schema
    facts: dict[str, Any] = {"ref": "a", "kind": kind, "width_mm": size * 200 % 19_000 + 100, "height_mm": size * 200 % 19_000 + 100}
    answers = 3
    while True:
        work = msgspec.convert(msgspec.to_builtins(facts), schema.work, strict=False)
        found = EVALUATOR.evaluate([work], Stage.OFFER).works[0]
        if not found.questions:
            break
        section, _, name = found.questions[0].fact.strip("/").rpartition("/")
        value = _answer(schema.by_path[found.questions[0].fact.strip("/").replace("/", ".")], size, pick)
        (facts.setdefault(section, {}) if section else facts)[name] = value
        answers += 1
    assert found.settled
    faulty = facts.get("condition", {}).get("faults", ["none"]) != ["none"]  # a fault that is declared brings one question of its own
    assert answers <= MOST + faulty


def test_what_is_due_later_is_listed_and_not_asked() -> None:
    work = EVALUATOR.ruleset.schema.work(ref="a", kind="stretched-canvas")
    found = EVALUATOR.evaluate([work], Stage.OFFER).works[0]
    later = {finding.rule: finding for finding in found.findings if finding.due is not None}
    assert later
    assert all(finding.due.rank > Stage.OFFER.rank for finding in later.values())
    assert not {question.fact for question in found.questions for rule in question.settles if rule in later}
