"""The form: a standard schema that takes what the service takes, and says beside each fact when it matters and how to ask for it."""

import json
from functools import cache
from typing import Any, Literal

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, FormatChecker

from api.serving import tiny_catalogue, tiny_venues
from hangworthy.contract import Check, Effect, Stage, fact, holds, where
from hangworthy.contract import given as when_given
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.forms import form_schema
from hangworthy.forms.concern import ALWAYS, Atom, simplest
from hangworthy.forms.conditions import condition
from hangworthy.intake import BadInput, Intake
from hangworthy.intake.wording import is_day
from small_packs import catalogue, pack, small_rule
from strategies import answers, as_work

FORMATS = FormatChecker(())
FORMATS.checks("date")(lambda value: not isinstance(value, str) or is_day(value))
PLACE = Venue(name="test")


@cache
def installed(language: str = "en", stage: Stage | None = None) -> tuple[Ruleset, dict[str, Any]]:
    ruleset = Ruleset(build_catalogue(*discover()), PLACE, language)
    return ruleset, form_schema(ruleset, stage)


@cache
def tiny(venue: int = 1) -> tuple[Ruleset, dict[str, Any]]:
    built = tiny_catalogue()
    ruleset = Ruleset(built, tiny_venues(built)[venue])
    return ruleset, form_schema(ruleset)


def facts_of(form: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Every fact of a form by its pointer."""
    found = {}
    for name, one in form["properties"].items():
        if "x-fact" in one:
            found[f"/{name}"] = one
        else:
            inside = one["anyOf"][0]["properties"]
            found |= {f"/{name}/{inner}": value for inner, value in inside.items() if "x-fact" in value}
    return found


def test_a_form_stands_alone() -> None:
    """Nothing in it refers to what is not in it, and free text is taken as the service takes it."""
    assert '"$ref"' not in json.dumps(installed()[1])
    validator = Draft202012Validator(installed()[1], format_checker=FORMATS)
    assert validator.is_valid({"ref": "a", "as_written": {"dimensions": "24 x 36 in", "convention": "height-first"}})
    assert not validator.is_valid({"ref": "a", "as_written": {"size": "24 x 36 in"}})


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("stage", [None, *Stage])
def test_it_is_valid_against_the_metaschema(language: str, stage: Stage | None) -> None:
    """JSON Schema 2020-12, as the jsonschema library brings it."""
    Draft202012Validator.check_schema(installed(language, stage)[1])


def test_every_fact_of_a_work_is_there_once_with_what_its_declaration_says() -> None:
    ruleset, form = installed("de")
    slots = {slot.pointer: slot for slot in ruleset.language.slots if slot.index < ruleset.schema.wall_start}
    shown = facts_of(form)
    assert set(shown) == set(slots)
    for pointer, slot in slots.items():
        one = shown[pointer]
        assert (one["x-fact"], one["title"], one["x-prompt"], one.get("x-how", "")) == (
            pointer,
            slot.ask.title,
            slot.ask.prompt,
            slot.ask.how,
        )
        assert one.get("x-private", False) is slot.ask.private
        assert one.get("x-unit", "") == slot.unit
        if slot.kind == "number":
            assert _bounds(one) == {(slot.ask.lo, slot.ask.hi)}
    assert shown["/artist_name"]["x-private"] is True
    assert shown["/canvas/billow_mm"]["x-units-accepted"][:4] == ["mm", "cm", "m", "in"]


def _bounds(one: Any) -> set[tuple[float | None, float | None]]:
    if isinstance(one, list):
        return set().union(*map(_bounds, one)) if one else set()
    if not isinstance(one, dict):
        return set()
    own = {(one.get("minimum"), one.get("maximum"))} if one.get("type") == "number" else set()
    return own.union(*(_bounds(value) for value in one.values()))


def test_choices_are_shown_with_labels_in_the_order_in_which_they_are_declared() -> None:
    for language, labels in (
        ("en", ["Linen", "Cotton", "Polyester", "Jute", "Other"]),
        ("de", ["Leinen", "Baumwolle", "Polyester", "Jute", "anderes"]),
    ):
        (choices,) = [way["oneOf"] for way in facts_of(installed(language)[1])["/canvas/fabric"]["anyOf"] if "oneOf" in way]
        assert [one["const"] for one in choices] == ["linen", "cotton", "polyester", "jute", "other"]
        assert [one["title"] for one in choices] == labels


@pytest.mark.parametrize("stage", [None, *Stage])
def test_groups_hold_what_is_asked_once_by_stage_then_person_then_section(stage: Stage | None) -> None:
    _, form = installed("en", stage)
    shown = facts_of(form)
    listed = [(group, part, pointer) for group in form["x-groups"] for part in group["parts"] for pointer in part["facts"]]
    assert sorted(pointer for *_, pointer in listed) == sorted(pointer for pointer, one in shown.items() if one["x-asked"])
    assert [shown[pointer]["x-order"] for *_, pointer in listed] == list(range(len(listed)))
    for group, part, pointer in listed:
        assert shown[pointer]["x-due"] in group["stages"]
        assert shown[pointer]["x-asked-of"] == part["asked_of"]
        assert pointer.rpartition("/")[0] == ("/" + part["section"] if part["section"] else "")
    stages = [one for group in form["x-groups"] for one in group["stages"]]
    assert stages == sorted(stages, key=lambda one: Stage(one).rank)
    for group in form["x-groups"]:
        assert [part["asked_of"] for part in group["parts"]] == sorted(part["asked_of"] for part in group["parts"])
    if stage is not None:
        assert form["x-groups"][0]["id"] == "due-now"
        assert {one["x-due"] for one in shown.values() if one["x-asked"] and Stage(one["x-due"]).rank <= stage.rank} <= set(
            form["x-groups"][0]["stages"]
        )


def test_a_venues_form_asks_for_its_own_packs_and_walls() -> None:
    built = build_catalogue(*discover())
    form = form_schema(Ruleset(built, Venue(name="small", packs=("canvas",), walls={"b": built.schema.wall(), "a": built.schema.wall()})))
    shown = facts_of(form)
    asked = {pointer for pointer, one in shown.items() if one["x-asked"]}
    assert {pointer.split("/")[1] for pointer in asked if pointer.count("/") == 2} == {"canvas"}
    assert "/title" in asked
    assert shown["/wall_name"]["anyOf"] == [{"enum": ["a", "b"]}, {"type": "null"}]
    assert not facts_of(installed()[1])["/wall_name"]["x-asked"]
    assert not shown["/glazing/material"]["x-asked"]


WRONG = (None, True, 0, 1, -1, 2.0, 2.5, 1e12, "", "x" * 300, [], {}, "2026-02-28", "2026-02-30", "1250.5", "-1", "1,5", [None], [True])


def probes(slot: Any) -> list[Any]:
    """Values around everything that a fact's declaration bounds, and of every type."""
    ends = [end for end in (slot.ask.lo, slot.ask.hi) if end is not None]
    near = [*ends, *(end + step for end in ends for step in (-1, 1, 0.5)), *slot.choices, "no such choice", "x" * slot.ask.max_length, "A1"]
    one = [*near, *WRONG]
    right = ends[0] if ends else slot.choices[0] if slot.choices else "a"
    return [*one, *([value] * (slot.count or 2) for value in one), *([right] * length for length in (1, 2, 3, 4, 5, 50, 51))]


def _good(slot: Any) -> st.SearchStrategy[Any]:
    """Answers that are right; without quantities as text, whose meaning no schema can judge."""
    return answers(slot).filter(lambda value: "±" not in str(value))


def _asked(ruleset: Ruleset) -> list[Any]:
    return [slot for slot in ruleset.schema.slots if slot.index < ruleset.schema.wall_start and slot.path not in ("ref", "wall_name")]


@st.composite
def submissions(draw: st.DrawFn, ruleset: Ruleset) -> dict[str, Any]:
    """Works whose facts are right, but for one thing now and then: a value, or a name that there is not."""
    slots = _asked(ruleset)
    some = draw(st.lists(st.sampled_from(slots), max_size=5, unique_by=lambda slot: slot.path))
    work = as_work("a", {slot.path: draw(_good(slot)) for slot in some})
    match draw(st.integers(0, 4)):
        case 1:
            slot = draw(st.sampled_from(slots))
            work = {**as_work("a", {slot.path: draw(st.sampled_from(probes(slot)))}), **work}
        case 2:
            owner = draw(st.sampled_from([work, *(one for one in work.values() if isinstance(one, dict))]))
            owner[draw(st.sampled_from(["nothing", "tiny", "wall", "width_mm", "gap_mm"]))] = draw(st.sampled_from([1, {}, None]))
        case 3:
            work["ref"] = draw(st.sampled_from(["", " ", "b", None, 3, "x" * 81]))
    return work


def _taken(evaluator: Evaluator, work: dict[str, Any]) -> list[str]:
    """The faults that the service finds in a work."""
    try:
        evaluator.read(_intake(evaluator).read(msgspec.json.encode({"works": [work]})).works)
    except BadInput as bad:
        return [fault.message for fault in bad.faults]
    except ValueError as bad:  # facts that only the engine can judge
        return [str(bad)]
    return []


def _agree(ruleset: Ruleset, validator: Draft202012Validator, work: dict[str, Any], part: Any = None) -> None:
    faults = _taken(_evaluator(ruleset), work)
    if validator.is_valid(work if part is None else part):
        texts = [value for facts in (work, *work.values()) if isinstance(facts, dict) for value in facts.values()]
        quantities = any(isinstance(one, str) for value in texts for one in (value if isinstance(value, list) else [value]))
        assert not faults or quantities, (work, faults)  # a text may still be no quantity
    else:
        assert faults, (work, [error.message for error in validator.iter_errors(work)][:3])


@cache
def _evaluator(ruleset: Ruleset) -> Evaluator:
    return Evaluator(ruleset)


@cache
def _intake(evaluator: Evaluator) -> Intake:
    return Intake(evaluator.ruleset.schema, {"test": evaluator}, "test")


PROPERTY = settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


@PROPERTY
@given(st.data())
def test_the_form_takes_what_the_service_takes_and_nothing_else(data: st.DataObject) -> None:
    ruleset, form = tiny()
    _agree(ruleset, Draft202012Validator(form, format_checker=FORMATS), data.draw(submissions(ruleset)))


@PROPERTY
@given(st.data())
def test_so_does_the_form_of_the_installed_packs(data: st.DataObject) -> None:
    ruleset, form = installed()
    _agree(ruleset, Draft202012Validator(form, format_checker=FORMATS), data.draw(submissions(ruleset)))


@pytest.mark.parametrize("which", ["tiny", "installed"])
def test_around_every_bound_of_every_kind_of_fact_the_two_agree(which: str) -> None:
    ruleset, form = tiny() if which == "tiny" else installed()
    kinds = {(slot.kind, slot.count, slot.ask.pattern, slot.ask.hi is None): slot for slot in _asked(ruleset)}
    for slot in kinds.values():
        section = slot.path.rpartition(".")[0]
        own = form["properties"][section]["anyOf"][0] if section else form
        validator = Draft202012Validator({**own, "required": []}, format_checker=FORMATS)
        for value in probes(slot):
            work = as_work("a", {slot.path: value})
            _agree(ruleset, validator, work, work[section] if section else work)


def test_no_language_and_no_stage_changes_what_is_taken() -> None:
    """What is left of the form without annotations is the same in all of them."""
    plain = [_bare(installed(language, stage)[1]) for language in ("en", "de") for stage in (None, Stage.HANGING)]
    assert all(one == plain[0] for one in plain)


def _bare(value: Any) -> Any:
    if isinstance(value, list):
        return [_bare(one) for one in value]
    if not isinstance(value, dict):
        return value
    return {
        name: _bare(one)
        for name, one in value.items()
        if not name.startswith("x-") and not (name in ("title", "description") and isinstance(one, str))
    }


# When a fact matters: what is said in the standard's words, in the plain list, and by the engine is one and the same.


def _holds(when: list[list[dict[str, Any]]], work: dict[str, Any]) -> bool:
    """Read the plain list as a renderer would."""
    return any(all(_one_holds(one, work) for one in each) for each in when)


def _one_holds(one: dict[str, Any], work: dict[str, Any]) -> bool:
    value: Any = work
    for step in one["fact"][1:].split("/"):
        value = value.get(step) if isinstance(value, dict) else None
    if value is None or "given" in one:
        return value is not None
    return any(item in one["in"] for item in value) if isinstance(value, list) else value in one["in"]


@PROPERTY
@given(st.data())
def test_conditions_in_the_standards_words_agree_with_the_plain_list_and_with_the_engine(data: st.DataObject) -> None:
    ruleset, form = installed()
    deciding = {atom["fact"] for one in facts_of(form).values() for each in one.get("x-when", []) for atom in each}
    slots = [slot for slot in ruleset.schema.slots if slot.pointer in deciding]
    work = as_work("a", {slot.path: data.draw(_good(slot)) for slot in slots if data.draw(st.booleans())})
    said = set()
    for rule in form["allOf"]:
        if Draft202012Validator(rule["if"]).is_valid(work):
            said |= {pointer for pointer in facts_of(form) if _marked(rule["then"], pointer)}
    assert said == {pointer for pointer, one in facts_of(form).items() if "x-when" in one and _holds(one["x-when"], work)}
    answer = _evaluator(ruleset).evaluate(Intake(ruleset.schema).read(msgspec.json.encode({"works": [work]})).works, Stage.RETURN)
    for finding in answer.works[0].findings:
        for pointer in finding.missing:
            # A question is asked only for what the form shows, unless it is still open whether it matters.
            if pointer in deciding or pointer.startswith(("/wall/", "/venue/")):
                continue
            when = facts_of(form)[pointer].get("x-when")
            assert when is None or _holds(when, work) or _open(when, work), (pointer, finding.rule)


def _open(when: list[list[dict[str, Any]]], work: dict[str, Any]) -> bool:
    known = [[one for one in each if _one_holds({**one, "given": True}, work)] for each in when]
    return any(len(held) < len(each) and all(_one_holds(one, work) for one in held) for held, each in zip(known, when, strict=True))


def _marked(schema: dict[str, Any], pointer: str) -> bool:
    for step in pointer[1:].split("/"):
        schema = schema.get("properties", {}).get(step, {})
    return schema.get("x-matters", False)


@small_rule("first", applies=[where("kind", "panel"), when_given("small.other_mm")])
def first(gap: float = fact("small.gap_mm")) -> Check:
    """Is it so?"""
    return holds(gap > 0)


@small_rule("second", applies=[where("kind", "relief"), when_given("small.gap_mm")])
def second(other: float = fact("small.other_mm")) -> Check:
    """Is it so?"""
    return holds(other > 0)


@small_rule("third", effect=Effect.ADVISE, due=Stage.HANGING, applies=[where("small.marks", "tear"), where("wall.walkway", True)])
def third(marks: tuple[Literal["dent", "tear"], ...] = fact("small.marks"), braced: bool = fact("small.braced")) -> Check:
    """Is it so?"""
    return holds(braced)


def test_facts_that_would_wait_for_each_other_wait_for_none() -> None:
    shown = facts_of(form_schema(Ruleset(catalogue(pack(first, second)), PLACE)))
    assert shown["/small/gap_mm"]["x-when"] == [[{"fact": "/kind", "in": ["panel", "relief"]}]]
    assert shown["/small/other_mm"]["x-when"] == [[{"fact": "/kind", "in": ["panel", "relief"]}]]


def test_a_fact_is_asked_for_from_when_it_can_be_told_and_of_the_kinds_that_have_it() -> None:
    shown = facts_of(installed()[1])
    assert shown["/condition/found_faults"]["x-due"] == "arrival"
    assert shown["/condition/faults"]["x-due"] == "offer"
    assert shown["/process"]["x-when"] == [[{"fact": "/kind", "in": ["original-print", "photograph", "reproduction"]}]]


def test_a_rule_that_no_place_of_the_venue_concerns_asks_for_nothing() -> None:
    built = catalogue(pack(third, first))
    wall = built.schema.wall
    for conditions, asked in ((None, True), (wall(walkway=True), True), (wall(walkway=False), False)):
        shown = facts_of(form_schema(Ruleset(built, Venue(name="test", conditions=conditions))))
        assert shown["/small/braced"]["x-asked"] is asked
    assert facts_of(form_schema(Ruleset(built, PLACE)))["/small/braced"]["x-due"] == "hanging"
    (rule,) = [one for one in form_schema(Ruleset(built, PLACE))["allOf"] if _marked(one["then"], "/small/braced")]
    validator = Draft202012Validator(rule["if"])
    assert validator.is_valid({"small": {"marks": ["dent", "tear"]}})
    for other in ({}, {"small": None}, {"small": {}}, {"small": {"marks": None}}, {"small": {"marks": []}}, {"small": {"marks": ["dent"]}}):
        assert not validator.is_valid(other)


def test_conditions_are_said_as_shortly_as_they_can_be() -> None:
    a, b, ab, given_a = (Atom("kind", ("a",)), Atom("kind", ("b",)), Atom("kind", ("a", "b")), Atom("kind", None))
    other = Atom("other", None)
    both = frozenset
    assert simplest([both([a]), both([b])]) == both([both([ab])])
    assert simplest([both([a, other]), both([b, other]), both([a])]) == both([both([a]), both([ab, other])])
    assert simplest([both([a, other]), both([a])]) == both([both([a])])
    assert simplest([both([a]), both([given_a])]) == both([both([given_a])])
    assert simplest([both([a]), both()]) == ALWAYS
    assert condition(both([both([given_a])]), catalogue(pack(first)).schema)["required"] == ["kind"]
