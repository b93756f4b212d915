"""One work beside others: the same findings as when all are asked together, and only what is worse together is a clash."""

import json
from typing import Any

import pytest

from hangworthy.contract import Stage, State
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.intake import Intake


@pytest.fixture(scope="module")
def evaluator() -> Evaluator:
    return Evaluator(Ruleset(build_catalogue(*discover()), Venue(name="house")))


def read(evaluator: Evaluator, *works: dict[str, Any]) -> list[Any]:
    made: list[Any] = list(Intake(evaluator.ruleset.schema).read(json.dumps({"works": works}).encode()).works)
    return made


ORIGINAL = {"ref": "tide", "kind": "stretched-canvas", "framed": False, "price": "900", "currency": "EUR", "artist_ref": "ar-1"}
COPY = {"ref": "copy", "kind": "reproduction", "price": "950", "currency": "EUR", "artist_ref": "ar-1", "editions": {"image_of": "tide"}}
OTHER = {"ref": "quay", "kind": "panel", "price": "700", "currency": "EUR", "artist_ref": "ar-2"}


def test_what_is_said_is_what_is_said_when_all_are_asked_together(evaluator: Evaluator) -> None:
    works = read(evaluator, COPY, OTHER, ORIGINAL)
    for at in (0, 1):
        together = evaluator.evaluate([works[at], works[2]], Stage.HANGING).works[0]
        assert evaluator.beside(works[:2], works[2:], Stage.HANGING)[at].answer == together


def test_a_clash_is_only_what_is_worse_together(evaluator: Evaluator) -> None:
    works = read(evaluator, COPY, OTHER, ORIGINAL)
    copy, other = evaluator.beside(works[:2], works[2:], Stage.OFFER)
    assert copy.clashes
    assert {one.state for one in copy.clashes} == {State.UNMET}
    assert (other.clashes, other.spoilt) == ((), ())
    alone = evaluator.beside(works[:2], [], Stage.OFFER)
    assert [(one.clashes, one.spoilt) for one in alone] == [((), ()), ((), ())]


def test_what_it_spoils_for_others_is_told_by_their_ref(evaluator: Evaluator) -> None:
    works = read(evaluator, ORIGINAL, COPY)
    spoilt = evaluator.beside(works[:1], works[1:], Stage.OFFER)[0].spoilt
    assert {ref for ref, _ in spoilt} == {"copy"}


def test_what_was_wrong_before_is_no_clash_of_a_new_work(evaluator: Evaluator) -> None:
    works = read(evaluator, OTHER, ORIGINAL, COPY)
    assert evaluator.beside(works[:1], works[1:], Stage.OFFER)[0].spoilt == ()


def test_one_ref_twice_is_refused(evaluator: Evaluator) -> None:
    works = read(evaluator, OTHER)
    with pytest.raises(BadWorks, match="twice"):
        evaluator.beside(works, works, Stage.OFFER)
