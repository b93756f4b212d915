"""The climate rules together: any facts in range give a clean answer, damper is never better, and doubt is shown."""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from hangworthy.contract import Effect, Kind, RoomKind, Stage, State
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy_climate import PACK
from hangworthy_climate.facts import Support
from hangworthy_climate.sensitivity import DAMP_KINDS, SHEETS, WATER_TAKING, possible
from one_pack import OnePack
from strategies import as_work, facts, full_facts, slots_read, wire

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


ALONE = OnePack(PACK, Stage.HANGING)
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


CORNERS = [
    {"temp_c": temp, "rh_percent": rh, "surface_c": surface, "outer_wall": True, "outdoor_c": outdoor}
    for temp in (-10, 0, 0.01, 50)
    for rh in (0, 100)
    for surface in (-30, 0.01, 60)
    for outdoor in (-60, 40)
]


@pytest.mark.parametrize("wall", CORNERS, ids=str)
def test_the_corners_of_the_sane_range(wall: dict[str, float]) -> None:
    for known in (wall, {name: value for name, value in wall.items() if name != "surface_c"}):
        found = evaluate({"ref": "a", "kind": "panel"}, known)
        assert found["mould"].state in (State.MET, State.UNMET)
        assert found["no-dew"].state in (State.MET, State.UNMET)


@SLOW
@given(st.floats(0, 40), st.floats(0, 100), st.floats(0, 100), st.floats(-20, 40))
def test_damper_is_never_better_at_the_wall(temp: float, one: float, other: float, surface: float) -> None:
    dry, damp = (
        evaluate({"ref": "a", "kind": "panel"}, {"temp_c": temp, "rh_percent": rh, "surface_c": surface}) for rh in sorted((one, other))
    )
    for rule in ("mould", "no-dew"):
        assert (dry[rule].state, damp[rule].state) != (State.UNMET, State.MET)


@SLOW
@given(st.floats(0, 40), st.floats(1, 100), st.floats(-20, 39))
def test_water_on_the_wall_is_mould_as_well(temp: float, rh: float, surface: float) -> None:
    found = evaluate({"ref": "a", "kind": "textile"}, {"temp_c": temp, "rh_percent": rh, "surface_c": min(surface, temp)})
    if found["no-dew"].measured is not None and found["no-dew"].measured < 0:
        assert found["mould"].state is State.UNMET
        assert found["mould"].effect is Effect.REFUSE


WALLS = ("outer_wall", "surface_c", "rh_year_low_percent", "temp_year_high_c", "heat_distance_mm")


@SLOW
@given(st.data())
def test_nothing_passes_for_what_is_not_known(data: st.DataObject) -> None:
    """A rule that is met with fewer facts is never unmet with more, but where the surface was estimated and is now measured."""
    work = data.draw(full_facts(slots_read(catalogue), {}))
    wall = data.draw(wall_facts(full=True))
    wall.pop("outdoor_c")
    gone = data.draw(st.sets(st.sampled_from(("kind", "climate.support", "from_rh_percent", *WALLS)), min_size=1))
    assume(wall["outer_wall"] or "surface_c" not in gone or "outer_wall" in gone)  # an inner wall is taken to be as warm as the room
    more = evaluate(as_work("a", work), wall)
    fewer = evaluate(
        as_work("a", {path: value for path, value in work.items() if path not in gone}),
        {name: value for name, value in wall.items() if name not in gone},
    )
    for rule, finding in fewer.items():
        if finding.state is State.MET:
            assert more[rule].state is not State.UNMET, rule


@pytest.mark.parametrize("kind", Kind.__args__)
def test_paper_canvas_and_cloth_are_refused_at_a_mouldy_wall(kind: str) -> None:
    found = evaluate({"ref": "a", "kind": kind}, {"temp_c": 21, "rh_percent": 50, "surface_c": 14})["mould"]
    assert found.effect is (Effect.REFUSE if kind in DAMP_KINDS else Effect.ADVISE)
    assert any("mould" in caution for caution in found.cautions)


def test_no_sentence_promises_that_mould_cannot_grow() -> None:
    found = evaluate({"ref": "a", "kind": "textile"}, {"temp_c": 21, "rh_percent": 30, "outer_wall": False})["mould"]
    assert found.state is State.MET
    assert "never ruled out" in found.artist
    assert "safe" not in found.artist + found.coordinator


def test_a_measured_surface_says_more_than_an_estimate() -> None:
    wall = {"temp_c": 21, "rh_percent": 50, "outer_wall": True, "outdoor_c": -15}
    assert evaluate({"ref": "a", "kind": "textile"}, wall)["mould"].state is State.UNMET
    assert "estimated" in evaluate({"ref": "a", "kind": "textile"}, wall)["mould"].coordinator
    assert evaluate({"ref": "a", "kind": "textile"}, {**wall, "surface_c": 17})["mould"].state is State.MET


def test_doubt_about_a_studio_is_shown() -> None:
    work = {
        "ref": "a",
        "kind": "panel",
        "width_mm": 500,
        "height_mm": 400,
        "from_rh_percent": "52 ± 6",
        "climate": {"support": "solid-wood"},
    }
    found = evaluate(work, {"rh_percent": 45})
    assert found["keeps-its-size"].state is State.BORDERLINE
    assert found["settles-in"].state is State.MET
    assert found["settles-in"].probability > 0.95


def test_a_move_from_any_climate_to_any_other_ends_well() -> None:
    for before in (1, 20, 50, 80, 99):
        for after in (0, 20, 50, 80, 100):
            work = {"ref": "a", "kind": "panel", "width_mm": 500, "height_mm": 400}
            found = evaluate({**work, "from_rh_percent": before, "climate": {"support": "solid-wood"}}, {"rh_percent": after})
            assert found["keeps-its-size"].state in (State.MET, State.UNMET)
            if found["keeps-its-size"].state is State.UNMET:
                assert ("swell" if after > before else "shrink") in found["keeps-its-size"].artist


def test_nothing_is_asked_at_the_offer() -> None:
    schema = catalogue.schema
    evaluator = Evaluator(Ruleset(catalogue, Venue(name="anywhere")))
    for kind in Kind.__args__:
        answer = evaluator.evaluate(wire(schema, [{"ref": "a", "kind": kind}]), Stage.OFFER).works[0]
        assert answer.questions == []
        assert answer.settled


def test_every_kind_and_support_has_a_place() -> None:
    assert set(Kind.__args__) >= DAMP_KINDS | SHEETS | set(WATER_TAKING)
    for kind in Kind.__args__:
        assert len(possible(kind, None)) in (1, 3)
        for support in Support.__args__:
            assert len(possible(kind, support)) == 1


@pytest.mark.parametrize("room", RoomKind.__args__)
def test_three_rooms_are_never_right(room: str) -> None:
    found = evaluate({"ref": "a", "kind": "work-on-paper"}, {"room": room})["room"]
    assert found.state is (State.UNMET if room in ("kitchen", "bathroom", "pool") else State.MET)
