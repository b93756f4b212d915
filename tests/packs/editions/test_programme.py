"""The demo programme: all twelve conflicts are found, where they were sown, and nothing else is told as one."""

from collections import Counter
from pathlib import Path

import msgspec
import pytest

from hangworthy.contract import Evaluation, Finding, State
from hangworthy.demo import demo_venue_path
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset
from hangworthy.intake import Intake
from hangworthy.venues import load_venue

from .make_programme import CONFLICTS, TARGET, programme

FOUND = {(ref, f"editions.{rule}") for sown in CONFLICTS.values() for ref, rules in sown.items() for rule in rules}


@pytest.fixture(scope="module")
def evaluation() -> Evaluation:
    catalogue = build_catalogue(*discover())
    evaluator = Evaluator(Ruleset(catalogue, load_venue(demo_venue_path(), catalogue.schema)))
    request = Intake(catalogue.schema).read(TARGET.read_bytes())
    return evaluator.evaluate(request.works, request.stage)


@pytest.fixture(scope="module")
def ours(evaluation: Evaluation) -> list[tuple[str, Finding]]:
    return [(work.ref, finding) for work in evaluation.works for finding in work.findings if finding.pack == "editions"]


def test_the_committed_file_is_the_one_that_is_made() -> None:
    assert TARGET.read_bytes() == programme()
    assert TARGET.parent == Path(str(demo_venue_path())).parent


def test_it_holds_two_hundred_works_by_thirty_artists() -> None:
    works = msgspec.json.decode(TARGET.read_bytes())["works"]
    assert len(works) == len({work["ref"] for work in works}) == 200
    assert len({work["artist_ref"] for work in works}) == len({work["artist_name"] for work in works}) == 30
    assert len(CONFLICTS) == 12


@pytest.mark.parametrize("conflict", CONFLICTS)
def test_each_conflict_is_found_where_it_was_sown(conflict: str, ours: list[tuple[str, Finding]]) -> None:
    unmet = {(ref, finding.rule) for ref, finding in ours if finding.state is State.UNMET}
    assert {(ref, f"editions.{rule}") for ref, rules in CONFLICTS[conflict].items() for rule in rules} <= unmet


def test_nothing_else_is_told_as_a_conflict(ours: list[tuple[str, Finding]]) -> None:
    unmet = {(ref, finding.rule): finding.artist for ref, finding in ours if finding.state is State.UNMET}
    assert {key: said for key, said in unmet.items() if key not in FOUND} == {}


def test_no_rule_fails_and_no_work_waits_for_another(ours: list[tuple[str, Finding]]) -> None:
    states = Counter(finding.state for _, finding in ours)
    assert states[State.ERROR] == 0
    assert [finding.rule for _, finding in ours if finding.others] == []


def test_half_filled_works_are_asked_for_what_they_lack(evaluation: Evaluation) -> None:
    asked = {work.ref: {question.fact for question in work.questions} for work in evaluation.works}
    for ref, fact in (
        ("a24-w3", "/price"), ("a25-w3", "/editions/basis"), ("a26-w3", "/currency"), ("a24-w4", "/editions/number"),
        ("a27-w3", "/editions/plate"), ("a28-w5", "/price"),
    ):  # fmt: skip
        assert fact in asked[ref], ref
    assert "/price" not in asked["a27-w2"], "nothing shows its image, so nothing hangs on its price"


def test_the_mirrored_and_the_near_copy_name_what_they_copy(ours: list[tuple[str, Finding]]) -> None:
    said = {(ref, finding.rule): finding.artist for ref, finding in ours if finding.state is State.UNMET}
    assert "“a08-w3”" in said["a08-w6", "editions.price-order"]
    assert "“a09-w2”" in said["a09-w6", "editions.price-apart"]
