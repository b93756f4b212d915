"""The light rules together: any facts in range give a clean answer, more light is never better, and doubt is shown."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hangworthy.contract import Effect, Kind, Process, Stage, State, Technique, Undecided
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy_light import PACK
from hangworthy_light.materials import KINDS, PROCESSES, TECHNIQUES, Known, Material, Span, material_of
from hangworthy_light.rules_fading import _difference
from one_pack import OnePack
from strategies import as_work, facts, full_facts, slots_read, wire

SLOW = settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


ALONE = OnePack(PACK, Stage.ROTATION)
catalogue, evaluate, wall_facts = ALONE.catalogue, ALONE.evaluate, ALONE.wall_facts


@SLOW
@given(st.data())
@pytest.mark.parametrize("full", [False, True], ids=["some facts", "all facts"])
def test_any_facts_in_range_give_a_clean_answer(full: bool, data: st.DataObject) -> None:
    slots = slots_read(catalogue)
    work = as_work("a", data.draw(full_facts(slots, {}) if full else facts(slots, {})))
    for finding in evaluate(work, data.draw(wall_facts(full=full))).values():
        assert finding.state is not State.ERROR, finding.coordinator
        assert finding.state is not State.UNKNOWN or finding.missing
        assert "{" not in finding.artist + finding.coordinator + finding.remedy


STAY = {"hang_from": "2026-01-01", "hang_until": "2026-03-31", "light": {"fading_materials": ["none"]}}
LIT = {"light_hours": 10, "lit_days_per_year": 365, "direct_sun": False, "uv_filtered": True}


@SLOW
@given(st.floats(0, 1e5), st.floats(0, 1e5), st.sampled_from(sorted(TECHNIQUES)))
def test_more_light_is_never_better(one: float, other: float, technique: str) -> None:
    work = {"ref": "a", "kind": "panel", "technique": technique, **STAY}
    dim, bright = (evaluate(work, {**LIT, "illuminance_lx": lx}) for lx in sorted((one, other)))
    for rule in ("dose", "brightness", "fade"):
        assert (dim[rule].state, bright[rule].state) != (State.UNMET, State.MET)
        assert bright[rule].measured >= dim[rule].measured


def test_what_is_not_known_is_asked_only_where_it_decides() -> None:
    work = {"ref": "a", "kind": "panel", "technique": "oil", **STAY}
    dim = evaluate(work, {"illuminance_lx": 100, "light_hours": 10, "direct_sun": False})
    assert dim["dose"].state is dim["fade"].state is State.MET
    bright = evaluate(work, {"illuminance_lx": 1000, "light_hours": 10, "direct_sun": False})
    assert bright["dose"].missing == ("/wall/lit_days_per_year",)
    assert evaluate({**work, "light": {}}, {**LIT, "illuminance_lx": 100})["dose"].missing == ("/light/fading_materials",)
    assert bright["fade"].state is State.MET


DECIDES = ("technique", "process", "light.fading_materials", "light.uv_glazing")
WALL_DECIDES = ("lit_days_per_year", "direct_sun", "sun_hours", "uv_uw_lm", "uv_filtered")


@SLOW
@given(st.data())
def test_nothing_passes_for_what_is_not_known(data: st.DataObject) -> None:
    """A rule that is met with fewer facts is never unmet with more, and the other way round."""
    rated = {"light.blue_wool", "light.responsivity", "light.paint_category", *DECIDES}
    fixed = data.draw(full_facts([slot for slot in slots_read(catalogue) if slot.path not in rated], {}))
    fixed |= {"hang_from": "2026-01-01", "hang_until": data.draw(st.sampled_from(["2026-01-03", "2026-03-31", "2027-03-31"]))}
    told = data.draw(full_facts([slot for slot in slots_read(catalogue) if slot.path in DECIDES], {}))
    wall = data.draw(wall_facts(full=True)) | {"illuminance_lx": data.draw(st.sampled_from([0, 5, 20, 50, 200, 900]))}
    gone = data.draw(st.sets(st.sampled_from(DECIDES + WALL_DECIDES), min_size=1))
    more = evaluate(as_work("a", fixed | told), wall)
    fewer = evaluate(
        as_work("a", fixed | {path: value for path, value in told.items() if path not in gone}),
        {name: value for name, value in wall.items() if name not in gone},
    )
    for rule, finding in fewer.items():
        assert {finding.state, more[rule].state} != {State.MET, State.UNMET}, rule
        if finding.state is more[rule].state is State.UNMET:
            assert finding.effect is more[rule].effect


def test_fewer_days_with_light_are_a_smaller_dose_and_sun_shines_on_all_days() -> None:
    work = {"ref": "a", "kind": "panel", "technique": "oil", **STAY}
    weekdays = evaluate(work, {**LIT, "illuminance_lx": 100, "lit_days_per_year": 73})
    assert weekdays["dose"].measured == pytest.approx(100 * 10 * 90 / 5)
    sunny = evaluate(work, {**LIT, "illuminance_lx": 100, "lit_days_per_year": 73, "direct_sun": True, "sun_hours": 0.5})
    assert sunny["dose"].measured == pytest.approx(100 * 10 * 90 / 5 + 80_000 * 0.5 * 90)


def test_doubt_about_a_step_is_doubt_about_the_class() -> None:
    work = {**STAY, "ref": "a", "kind": "original-print", "light": {"blue_wool": "6.5 ± 1"}}
    found = evaluate(work, {**LIT, "illuminance_lx": 300})
    assert found["dose"].state is State.BORDERLINE
    assert found["print-lightfast"].state is State.BORDERLINE
    assert 0.5 < found["print-lightfast"].probability < 0.95


def test_the_days_left_are_those_that_would_keep_the_limit() -> None:
    work = {"ref": "a", "kind": "work-on-paper", "technique": "gouache", **STAY}
    found = evaluate(work, {**LIT, "illuminance_lx": 300, "light_hours": 12})
    assert "41 days" in found["dose"].remedy  # 150,000 / 3,600 = 41.67
    shorter = evaluate({**work, "hang_until": "2026-02-10"}, {**LIT, "illuminance_lx": 300, "light_hours": 12})
    assert shorter["dose"].state is State.MET
    assert evaluate({**work, "hang_until": "2026-02-11"}, {**LIT, "illuminance_lx": 300, "light_hours": 12})["dose"].state is State.UNMET


def test_where_not_even_a_day_is_left_no_stay_is_offered() -> None:
    work = {"ref": "a", "kind": "work-on-paper", "technique": "felt-pen", **STAY}
    found = evaluate(work, {**LIT, "illuminance_lx": 3000})
    assert found["dose"].remedy == "We choose a darker wall or fewer hours of light."


def test_a_colour_difference_beyond_any_scale_is_no_figure() -> None:
    assert (_difference(9.96), _difference(10.04), _difference(129)) == ("of about 9.96", "far beyond 10", "far beyond 10")


def test_nothing_is_asked_at_the_offer() -> None:
    schema = catalogue.schema
    evaluator = Evaluator(Ruleset(catalogue, Venue(name="anywhere")))
    for kind in Kind.__args__:
        answer = evaluator.evaluate(wire(schema, [{"ref": "a", "kind": kind}]), Stage.OFFER).works[0]
        assert answer.questions == []
        assert answer.settled


NOTHING = Known(None, None, None, None, None, None, None)
NONE, FRAIL, ROBUST = ("none",), Material(3, 1.0), Material(1, 7.0)
ASK = ("light.fading_materials",)


def test_the_table_names_what_the_contract_names() -> None:
    assert set(KINDS) <= set(Kind.__args__)
    assert set(TECHNIQUES) == set(Technique.__args__) - {"other"}
    assert set(PROCESSES) == set(Process.__args__) - {"other"}


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        (NOTHING._replace(kind="panel", technique="oil", fading=NONE), Material(1, 7.0)),
        (NOTHING._replace(kind="work-on-paper", technique="oil", fading=NONE), Material(2, 4.0)),
        (NOTHING._replace(kind="photograph", process="platinum", fading=NONE), Material(1, 7.0)),
        (NOTHING._replace(kind="photograph", process="other", fading=NONE), Material(2, 4.0)),
        (NOTHING._replace(kind="textile", fading=NONE), Material(2, 4.0)),
        (NOTHING._replace(kind="original-print", process="etching", technique="felt-pen"), FRAIL),
        (NOTHING._replace(kind="panel", technique="oil", fading=("none", "ballpoint")), FRAIL),
        (NOTHING._replace(kind="panel", technique="oil", category="II", fading=NONE), Material(2, 6.0)),
        (NOTHING._replace(category="V", fading=("dye-ink",)), FRAIL),
        (NOTHING._replace(category="I", blue_wool=5.0), Material(2, 5.0)),
        (NOTHING._replace(blue_wool=3.0, fading=("dye-ink",)), Material(3, 3.0)),
        (NOTHING._replace(blue_wool=7.0), Material(1, 7.0)),
        (NOTHING._replace(responsivity="R0", fading=("dye-ink",)), Material(0, 8.0)),
        (NOTHING._replace(responsivity="R3", kind="panel", technique="oil"), FRAIL),
        (NOTHING._replace(responsivity="R2", blue_wool=5.0), Material(2, 5.0)),
    ],
)
def test_the_worst_of_the_materials_counts(known: Known, expected: Material) -> None:
    assert material_of(known) == Span(expected, expected)


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        (NOTHING._replace(kind="panel", technique="oil"), Span(ROBUST, FRAIL, ASK)),
        (NOTHING._replace(kind="panel", technique="oil", fading=()), Span(ROBUST, FRAIL, ASK)),
        (NOTHING._replace(kind="panel", fading=NONE), Span(ROBUST, FRAIL, ("technique",))),
        (NOTHING._replace(kind="panel"), Span(ROBUST, FRAIL, ("technique", *ASK))),
        (NOTHING._replace(kind="work-on-paper"), Span(Material(2, 4.0), FRAIL, ("technique", *ASK))),
        (NOTHING._replace(kind="photograph", fading=NONE), Span(ROBUST, FRAIL, ("process",))),
        (NOTHING._replace(kind="photograph", technique="watercolour", fading=NONE), Span(Material(2, 4.0), FRAIL, ("process",))),
        (NOTHING._replace(category="III"), Span(Material(2, 4.0), FRAIL, ASK)),
        (NOTHING._replace(category="IV"), Span(Material(3, 2.0), FRAIL, ASK)),
        (NOTHING._replace(responsivity="R0", blue_wool=8.0), Undecided(("light.responsivity", "light.blue_wool"))),
        (NOTHING._replace(kind="sculpture", technique="other"), Undecided(("light.responsivity",))),
        (NOTHING, Undecided(("kind",))),
    ],
)
def test_what_is_not_known_leaves_a_span(known: Known, expected: Span | Undecided) -> None:
    assert material_of(known) == expected


def test_a_class_has_a_code_and_a_word() -> None:
    assert [(Material(one, 1.0).code, Material(one, 1.0).words) for one in range(4)] == [
        ("R0", "lightproof"),
        ("R1", "robust"),
        ("R2", "sensitive"),
        ("R3", "very sensitive"),
    ]


def test_sun_is_worst_for_what_fades_first() -> None:
    effects = {
        technique: evaluate({"ref": "a", "kind": "panel", "technique": technique, **STAY}, {"direct_sun": True})["sun"].effect
        for technique in ("oil", "watercolour", "felt-pen")
    }
    assert effects == {"oil": Effect.PREPARE, "watercolour": Effect.PREPARE, "felt-pen": Effect.REFUSE}
