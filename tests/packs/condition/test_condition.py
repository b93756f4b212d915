"""What must hold of the condition pack for any facts: no rule fails, no hazard is lost, and details are asked only where they matter."""

from decimal import Decimal, localcontext
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import UNSET

from hangworthy.contract import Effect, Evaluation, Given, Stage, State, WorkAnswer
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.outcome import outcomes
from hangworthy.engine.ruleset import Ruleset
from hangworthy_condition import PACK, formulas
from hangworthy_condition.facts import Fault
from hangworthy_condition.faults import NOUNS, named
from small_packs import VENUE, evaluate
from strategies import as_work, asked_again, facts, slots_read

FAULTS = [fault for fault in get_args(Fault) if fault != "none"]
HAZARDS = {
    "mould": "condition.no-mould",
    "live-insects": "condition.no-insects",
    "broken-glass": "condition.no-broken-glass",
}
CATALOGUE = build_catalogue([installed_pack(PACK)])
BENCH = {entry.code for entry in CATALOGUE.entries if entry.rule.due is not Stage.OFFER}
COMPARED = {entry.code for entry in CATALOGUE.entries if any(isinstance(one, Given) for one in entry.rule.applies)}
ASK = Evaluator(Ruleset(CATALOGUE, VENUE))
lists = st.lists(st.sampled_from(get_args(Fault)), max_size=6)


def answer(work: dict[str, Any], stage: Stage = Stage.OFFER) -> WorkAnswer:
    return evaluate(ASK, work, stage=stage).works[0]


def states(one: WorkAnswer) -> dict[str, State]:
    return {finding.rule: finding.state for finding in one.findings}


def asked(one: WorkAnswer) -> list[str]:
    return [question.fact for question in one.questions]


# Every rule, any facts


@given(facts(slots_read(CATALOGUE), {}), st.sampled_from(list(Stage)))
def test_no_rule_fails_whatever_the_facts(found: dict[str, Any], stage: Stage) -> None:
    evaluation: Evaluation = evaluate(ASK, as_work("w", found), stage=stage)
    assert [finding.rule for finding in evaluation.works[0].findings if finding.state is State.ERROR] == []


@given(lists, lists, st.sampled_from(sorted(HAZARDS)))
def test_a_hazard_that_one_of_two_saw_is_refused(declared: list[str], found: list[str], hazard: str) -> None:
    told = answer({"condition": {"faults": [*declared, hazard], "found_faults": found}}, Stage.ARRIVAL)
    assert (states(told)[HAZARDS[hazard]], told.outcome) == (State.UNMET, "refuse")
    seen = answer({"condition": {"faults": declared, "found_faults": [*found, hazard]}}, Stage.ARRIVAL)
    assert (states(seen)["condition.bench-no-hazard"], seen.outcome) == (State.UNMET, "refuse")


@given(lists, lists)
def test_what_the_bench_finds_and_what_was_declared_are_judged_apart(declared: list[str], found: list[str]) -> None:
    both, told = ({"condition": {"faults": declared, **more}} for more in ({"found_faults": found}, {}))
    judged = {rule: state for rule, state in states(answer(told)).items() if rule not in BENCH}
    assert judged == {rule: state for rule, state in states(answer(both)).items() if rule not in BENCH}


@pytest.mark.parametrize("fault", [fault for fault in FAULTS if fault not in ("cracked", "dented", "scratched", "stained", "insect-holes")])
def test_each_fault_that_the_bench_finds_is_judged_once(fault: str) -> None:
    got = states(answer({"condition": {"found_faults": [fault]}}, Stage.ARRIVAL))
    assert [rule for rule, state in got.items() if state is State.UNMET and rule.startswith("condition.bench-")] != []
    assert sum(state is State.UNMET for state in got.values()) == 1


@given(facts(slots_read(CATALOGUE), {}), st.lists(st.sampled_from([slot.path for slot in slots_read(CATALOGUE)]), min_size=1, max_size=4))
def test_fewer_facts_never_help(found: dict[str, Any], gone: list[str]) -> None:
    """What is still open at the last stage never promises more than what turns out; comparisons come and go with what they compare."""
    more, fewer = (answer(as_work("w", one), Stage.RETURN) for one in (found, {p: v for p, v in found.items() if p not in gone}))
    left_out = COMPARED | asked_again(more)
    before, after = (outcomes(one for one in work.findings if one.rule not in left_out) for work in (more, fewer))
    assert after[0].rank <= before[0].rank <= before[1].rank <= after[1].rank


# What is asked


def test_one_answer_settles_a_work_without_faults_at_the_offer() -> None:
    assert asked(answer({})) == ["/condition/faults"]
    fine = answer({"condition": {"faults": ["none"]}})
    assert (asked(fine), fine.outcome, fine.settled) == ([], "ready", True)


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_asks_for_its_own_detail_and_for_nothing_else(fault: str) -> None:
    details = {
        "dusty": ["/friable"],
        "cracked": ["/condition/cracks_lift"],
        "torn": ["/condition/tear_mm"],
        "mould": ["/condition/mould_area_m2"],
        "insect-holes": ["/condition/fresh_dust"],
        "smells": ["/condition/smell"],
    }
    assert asked(answer({"condition": {"faults": [fault]}})) == details.get(fault, [])


@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_means_something(fault: str) -> None:
    detail = {"cracks_lift": True} if fault == "cracked" else {"fresh_dust": True} if fault == "insect-holes" else {}
    got = answer({"condition": {"faults": [fault], **detail}})
    assert State.UNMET in states(got).values()


def test_the_bench_is_asked_at_arrival_and_the_artist_is_not() -> None:
    work = {"framed": False, "width_mm": 500, "height_mm": 400, "mass_kg": 2, "condition": {"faults": ["none"]}}
    at_arrival = answer(work, Stage.ARRIVAL)
    assert {question.asked_of for question in at_arrival.questions} == {"coordinator"}
    bench = ("kept_apart", "found_faults", "dust_on", "touch", "found_width_mm", "found_height_mm", "found_mass_kg")
    assert set(asked(at_arrival)) == {f"/condition/{name}" for name in bench}


# Details beside the list of faults

SPOKEN_OF = {  # detail: what is given, and the faults of which any one explains it
    "mould_area_m2": (("20 cm2", 4), {"mould"}),
    "fresh_dust": ((True,), {"insect-holes", "live-insects"}),
    "smell": (("smoke", "solvent", "musty", "other"), {"smells"}),
    "cracks_lift": ((True,), {"cracked", "flaking"}),
    "tear_mm": ((80,), {"torn"}),
}
OF_THE_FAULT = {
    "mould_area_m2": {"no-mould", "mould-small", "mould-in-house"},
    "fresh_dust": {"no-insects"},
    "smell": {"no-smell", "not-musty"},
    "cracks_lift": {"paint-holds"},
    "tear_mm": {"whole", "tear-travels"},
}
SAYINGS = [(detail, value) for detail, (values, _) in SPOKEN_OF.items() for value in values]


@given(st.sampled_from(SAYINGS), st.lists(st.sampled_from(get_args(Fault)), min_size=1, max_size=6))
def test_what_a_detail_speaks_of_is_never_passed_as_absent(saying: tuple[str, Any], listed: list[str]) -> None:
    detail, value = saying
    got = answer({"condition": {"faults": listed, detail: value}})
    named = bool(SPOKEN_OF[detail][1] & {*listed})
    [fits] = [finding for finding in got.findings if finding.rule == "condition.details-fit"]
    assert fits.state is (State.MET if named else State.UNMET)
    if not named:
        met = {finding.rule for finding in got.findings if finding.state is State.MET}
        assert met & {f"condition.{rule}" for rule in OF_THE_FAULT[detail]} == set()
        again = {finding.rule for finding in got.findings if finding.missing == ("/condition/faults",)}
        assert again & {f"condition.{rule}" for rule in OF_THE_FAULT[detail]} or "hole" in listed
        assert got.outcome != "ready"


def test_every_detail_that_the_artist_gives_is_held_against_the_list() -> None:
    own = [slot for slot in slots_read(CATALOGUE) if slot.path.startswith("condition.") and slot.ask.asked_of == "artist"]
    of_the_artist = {slot.path.partition(".")[2] for slot in own} - {"faults"}
    assert of_the_artist == SPOKEN_OF.keys()


@pytest.mark.parametrize(
    ("language", "said"), [("en", "You gave what it smells of"), ("de", "Sie haben angegeben, wonach das Werk riecht")]
)
def test_a_smell_that_is_not_in_the_list_is_told(language: str, said: str) -> None:
    got = evaluate(ASK.speaking(language), {"condition": {"faults": ["none"], "smell": "smoke"}}).works[0]
    told = {finding.rule: (finding.artist, finding.effect) for finding in got.findings}
    sentence, effect = told["condition.details-fit"]
    assert sentence.startswith(said)
    assert effect is Effect.PREPARE


# How hazards change what is advised


@pytest.mark.parametrize("hazard", ["mould", "live-insects", "insect-holes", "broken-glass", "flaking"])
@pytest.mark.parametrize("where", ["faults", "found_faults"])
def test_nothing_is_brushed_aired_or_fanned_beside_a_hazard(hazard: str, where: str) -> None:
    condition = {"faults": ["dusty", "damp", "smells"], "found_faults": ["dusty", "damp", "smells"], "dust_on": ["back", "front"]}
    for present in (False, True):
        more = {where: [*condition[where], hazard]} if present else {}
        got = answer({"friable": False, "condition": {**condition, **more}})
        texts = " ".join(finding.remedy for finding in got.findings if finding.state is State.UNMET and finding.rule in ADVISED)
        for word in ("soft, dry brush", "air unwrapped", "moving air"):
            assert (word in texts) is not present


@pytest.mark.parametrize(
    ("condition", "rule"),
    [
        ({"faults": ["flaking", "dusty"]}, "paint-holds"),
        ({"faults": ["cracked", "dusty"], "cracks_lift": True}, "paint-holds"),
        ({"faults": ["dusty"], "found_faults": ["flaking", "torn"]}, "bench-paint-holds"),
    ],
)
def test_all_waits_while_paint_is_loose(condition: dict[str, Any], rule: str) -> None:
    got = answer({"friable": False, "condition": condition}, Stage.ARRIVAL)
    assert (got.safe_first, got.outcome) == ((f"condition.{rule}",), "repair")
    [clean] = [finding for finding in got.findings if finding.rule == "condition.clean"]
    assert "brush" not in clean.remedy.replace("Do not brush", "")


def test_beside_a_hazard_only_what_tells_more_of_hazards_is_asked() -> None:
    got = answer({"condition": {"faults": ["mould", "cracked", "torn", "dusty"]}})
    assert sorted(asked(got)) == ["/condition/cracks_lift", "/condition/mould_area_m2"]
    [tear] = [finding for finding in got.findings if finding.rule == "condition.tear-travels"]
    assert tear.missing == ("/condition/tear_mm",)


def test_cracks_that_lie_flat_and_dust_on_a_powdery_surface_are_no_hazard() -> None:
    flat = answer({"friable": False, "condition": {"faults": ["cracked", "dusty"], "cracks_lift": False}})
    powdery = answer({"friable": True, "condition": {"faults": ["dusty"]}})
    assert (flat.safe_first, powdery.safe_first) == (UNSET, UNSET)


def test_old_insect_holes_are_no_hazard() -> None:
    for fresh, brushed in ((False, True), (True, False)):
        got = answer({"friable": False, "condition": {"faults": ["dusty", "insect-holes"], "fresh_dust": fresh}})
        [finding] = [finding for finding in got.findings if finding.rule == "condition.clean"]
        assert ("soft, dry brush" in finding.remedy) is brushed


ADVISED = {f"condition.{rule}" for rule in ("clean", "clean-in-raking-light", "not-damp", "no-smell")}


@pytest.mark.parametrize(
    ("condition", "said"),
    [
        ({"faults": ["mould"]}, "Seal it in a bag"),
        ({"faults": ["mould"], "mould_area_m2": 0.29}, "Seal it in a bag"),
        ({"faults": ["mould"], "mould_area_m2": 0.3}, "Leave it where it is"),
        ({"faults": ["mould", "damp"]}, "wrap it only for the way"),
    ],
)
def test_how_a_mouldy_work_is_kept(condition: dict[str, Any], said: str) -> None:
    [finding] = [finding for finding in answer({"condition": condition}).findings if finding.rule == "condition.no-mould"]
    assert said in finding.remedy
    assert "Do not brush" in finding.remedy


@pytest.mark.parametrize(
    ("area", "band"), [(0.29, "small"), (0.3, "medium"), (2.99, "medium"), (3, "large"), (10, "large"), (10.1, "extensive")]
)
def test_the_coordinator_reads_the_band_of_the_mould(area: float, band: str) -> None:
    got = answer({"condition": {"faults": ["mould"], "mould_area_m2": area}})
    [finding] = [finding for finding in got.findings if finding.rule == "condition.mould-in-house"]
    assert f"band {band};" in finding.coordinator


# Sentences


@pytest.mark.parametrize(("language", "look"), [("en", "Look closely at the stains"), ("de", "Sehen Sie sich die Flecken genau an")])
def test_a_stained_work_may_hang_and_is_not_to_be_isolated(language: str, look: str) -> None:
    for fault, said in (("stained", True), ("scratched", False)):
        got = evaluate(ASK.speaking(language), {"condition": {"faults": [fault]}}).works[0]
        [finding] = [finding for finding in got.findings if finding.rule == "condition.unmarked"]
        assert (got.outcome, finding.cautions, look in finding.remedy) == ("ready", (), said)


def test_every_difference_is_named_to_the_coordinator() -> None:
    got = answer({"condition": {"faults": ["none"], "found_faults": FAULTS}}, Stage.ARRIVAL)
    [finding] = [finding for finding in got.findings if finding.rule == "condition.faults-as-declared"]
    assert [noun for noun in NOUNS.values() if noun not in finding.coordinator] == []
    assert "and 14 more" in finding.artist


@given(st.sets(st.sampled_from(FAULTS)), st.integers(1, 5))
def test_a_list_of_faults_is_a_list(faults: set[Any], most: int) -> None:
    text = named(faults)
    assert text.count(" and ") == (1 if len(faults) > 1 else 0)
    assert text.count(", ") == max(0, len(faults) - 2)
    short = named(faults, most)
    assert (short == text) is (len(faults) <= most)


def test_swapped_sides_are_pointed_out_and_a_slip_is_not() -> None:
    for found, said in ((701, True), (740, False)):
        got = answer({"framed": False, "width_mm": 1000, "height_mm": 700, "condition": {"found_width_mm": found}})
        [finding] = [finding for finding in got.findings if finding.rule == "condition.width-as-declared"]
        assert ("swapped" in finding.remedy) is said


def test_sides_that_are_alike_are_not_called_swapped() -> None:
    got = answer({"framed": False, "width_mm": 700, "height_mm": 702, "condition": {"found_width_mm": 703}})
    [finding] = [finding for finding in got.findings if finding.rule == "condition.width-as-declared"]
    assert (finding.state, "swapped" in finding.remedy) == (State.UNMET, False)


# Formulas


@given(st.floats(0, 100), st.floats(0, 100))
def test_a_larger_mould_is_never_in_a_smaller_band(area: float, more: float) -> None:
    assert 1 <= formulas.mould_band(area) <= formulas.mould_band(area + more) <= 4


@given(st.integers(1, 20_000), st.sampled_from(["I", "II", "III"]), st.integers(0, 50))
def test_the_tolerance_is_the_directives_sum_in_decimals(length: int, accuracy: str, tenths: int) -> None:
    fixed, per_metre, hook = {"I": ("0.1", "0.1", "0.1"), "II": ("0.3", "0.2", "0.2"), "III": ("0.6", "0.4", "0.3")}[accuracy]
    with localcontext() as exact:
        exact.prec = 30
        metres = -(-length // 1000)
        wanted = 2 * (Decimal(fixed) + Decimal(per_metre) * metres + Decimal(hook) + Decimal(tenths) / 10)
    assert formulas.size_tolerance(length, accuracy, tenths / 10) == pytest.approx(float(wanted), rel=1e-12)


@pytest.mark.parametrize(
    ("declared", "share", "least", "kg"), [(2, 10, 0.5, 0.5), (20, 10, 0.5, 2), (5, 10, 0.5, 0.5), (30, 0, 0.1, 0.1), (8, 25, 0, 2)]
)
def test_weights_may_differ_by_the_larger_of_share_and_least(declared: float, share: float, least: float, kg: float) -> None:
    assert formulas.weight_tolerance(declared, share, least) == pytest.approx(kg)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: formulas.mould_band(-0.1), "area_m2"),
        (lambda: formulas.size_tolerance(0, "II", 0.5), "length_mm"),
        (lambda: formulas.size_tolerance(100, "IV", 0.5), "accuracy_class"),
        (lambda: formulas.size_tolerance(100, "II", -0.1), "reading_mm"),
        (lambda: formulas.weight_tolerance(0, 10, 0.5), "declared_kg"),
        (lambda: formulas.weight_tolerance(1, -1, 0.5), "share_percent"),
        (lambda: formulas.weight_tolerance(1, 10, -0.5), "least_kg"),
    ],
)
def test_numbers_outside_the_range_are_refused_by_name(call: Any, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        call()
