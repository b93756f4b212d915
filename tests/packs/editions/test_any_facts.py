"""Whatever facts are given: no rule fails, sentences render, and the offer asks few questions."""

from itertools import product
from typing import Any, get_args

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hangworthy.contract import Kind, Stage, State
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.schema import Slot
from hangworthy_editions.bases import NAMES, Making, against
from hangworthy_editions.facts import Basis

from .asking import CATALOGUE, rate

SCHEMA = CATALOGUE.schema
USED = sorted({slot.index for entry in CATALOGUE.entries for slot in entry.slots})
EXTREMES = ("0", "0.000", "0.01", "1", "99.99", "100", "100.01", "12.3400", "1000000000", "999999999.99")
REFS, HASHES = (
    ("w0", "w1", "quay", "e"),
    ("00ff00ff00ff00ff", "00ff00ff00ff00fe", "ff00ff00ff00ff00", "0000000000000000", "FFFFFFFFFFFFFFFF"),
)


def one(slot: Slot) -> st.SearchStrategy[Any]:
    lo, hi = slot.ask.lo, slot.ask.hi
    if slot.path.endswith("fingerprint"):
        return st.sampled_from(HASHES)
    if slot.kind in ("choice", "yes_no"):
        return st.sampled_from(slot.answers or slot.choices)
    if slot.kind == "count":
        return st.integers(int(lo or 0), int(hi or 99)) | st.sampled_from([int(lo or 0), int(hi or 99), max(int(lo or 0), 20)])
    if slot.kind == "number":
        plain = st.floats(lo or 0, hi or 1e6) | st.sampled_from([lo or 0, hi or 1e6])
        return plain | plain.filter(lambda value: value >= 0.001).map(lambda value: f"{value:.6f} ± 0.5")
    if slot.kind == "money":
        return st.sampled_from(EXTREMES)
    if slot.kind == "date":
        return st.dates().map(str)
    return st.sampled_from(("EUR", "USD", "GBP") if slot.path == "currency" else REFS)


def many(slot: Slot) -> st.SearchStrategy[Any]:
    value = one(slot)
    return value if slot.count is None else st.lists(value, min_size=slot.count, max_size=slot.count or 4)


def section(prefix: str, *, never: tuple[str, ...] = ()) -> st.SearchStrategy[dict[str, Any]]:
    slots = [SCHEMA.slots[index] for index in USED if SCHEMA.slots[index].path.rpartition(".")[0] == prefix]
    names = {slot.path.rpartition(".")[2]: many(slot) for slot in slots if slot.kind != "listed"}
    return st.fixed_dictionaries({}, optional={name: value for name, value in names.items() if name not in never})


WORK = st.builds(lambda own, editions: {**own, "editions": editions}, section("", never=("ref", "wall_name")), section("editions"))
WALL = section("wall").map(lambda wall: {name: value for name, value in wall.items() if not isinstance(value, str) or "±" not in value})
RATES = st.none() | st.just((rate("EUR", "1.1", "USD"), rate("GBP", "1e-9", "USD")))


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.lists(WORK, min_size=1, max_size=5), WALL, RATES, st.sampled_from(Stage))
def test_no_rule_fails_for_any_facts_in_range(works: list[dict], wall: dict, rates: Any, stage: Stage) -> None:
    evaluator = Evaluator(Ruleset(CATALOGUE, Venue(name="any", conditions=msgspec.convert(wall, SCHEMA.wall), rates=rates)))
    full = [msgspec.convert({"ref": f"w{place}", **work}, SCHEMA.work, strict=False) for place, work in enumerate(works)]
    answer = evaluator.evaluate(full, stage)
    wrong = [(finding.rule, finding.coordinator) for work in answer.works for finding in work.findings if finding.state is State.ERROR]
    assert wrong == []
    shown = [text for work in answer.works for finding in work.findings for text in (finding.artist, finding.remedy, finding.coordinator)]
    assert not [text for text in shown if "{" in text or "None" in text]
    assert not [work.ref for work in answer.works for finding in work.findings if finding.state is State.UNKNOWN and not finding.missing]


# Questions at the offer


def answers_of(slot: Slot) -> list[Any]:
    """Every kind of answer that can lead to other questions."""
    if slot.kind in ("choice", "yes_no"):
        every: list[Any] = list(slot.answers or slot.choices)
        return every if slot.count is None else [[choice] for choice in every] + [every[:-1]]
    counts = [count for count in (1, 20, 0) if count >= (slot.ask.lo or 0)]
    return {"count": counts, "text": ["x"], "money": ["10"], "number": [300.0], "date": ["2026-01-01"]}[slot.kind]


def most_questions(evaluator: Evaluator, work: dict[str, Any], answered: int) -> int:
    """Return the most answers that any way of answering takes, beyond kind and size."""
    found = evaluator.evaluate([msgspec.convert(work, SCHEMA.work, strict=False)], Stage.OFFER).works[0]
    if not found.questions:
        return answered
    path = found.questions[0].fact.strip("/")
    holder, _, name = path.rpartition("/")
    slot = SCHEMA.by_path[path.replace("/", ".")]
    ways = [{**work, holder: {**work.get(holder, {}), name: value}} if holder else {**work, name: value} for value in answers_of(slot)]
    return max(most_questions(evaluator, way, answered + 1) for way in ways)


@pytest.mark.parametrize("wall", [{}, {"shows": "originals-and-prints"}, {"shows": "anything", "law_of": "california"}], ids=str)
@pytest.mark.parametrize("kind", get_args(Kind))
def test_the_offer_takes_at_most_six_answers_and_none_of_other_kinds(kind: str, wall: dict) -> None:
    evaluator = Evaluator(Ruleset(CATALOGUE, Venue(name="any", conditions=msgspec.convert(wall, SCHEMA.wall) if wall else None)))
    most = most_questions(evaluator, {"ref": "a", "kind": kind, "width_mm": 300, "height_mm": 400}, 0)
    assert most <= (6 if kind in ("original-print", "photograph", "reproduction") else 0)
    if kind in ("original-print", "photograph"):
        assert most >= 4


# Bases

NOTHING = Making("original-print", None, None, None, None, None, None, None, None)


@pytest.mark.parametrize(("basis", "kind"), list(product(get_args(Basis), ("original-print", "photograph"))))
def test_a_basis_only_asks_for_what_it_can_use(basis: Basis, kind: Kind) -> None:
    found = against(basis, NOTHING._replace(kind=kind))
    assert basis in NAMES
    if not isinstance(found, str):
        assert found is not None
        assert all(SCHEMA.by_path[path] for path in found.missing)


def test_no_fact_asks_for_merit() -> None:
    """Only the named criteria count (C-145/18): nothing in the facts speaks of quality."""
    words = " ".join(slot.ask.prompt + slot.ask.how + slot.path for slot in SCHEMA.slots).lower()
    assert not [word for word in ("merit", "quality", "artistic value", "beautiful") if word in words]


@pytest.mark.parametrize("process", ["inkjet", "laser-print", "chromogenic", "cyanotype"])
def test_what_has_no_plate_is_told_without_asking_for_one(process: str) -> None:
    made = NOTHING._replace(process=process, edition=20)
    assert isinstance(against("eu-vat-annex-ix", made), str)
    assert isinstance(against("hs-9702", made), str)
