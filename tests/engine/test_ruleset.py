"""The venue: packs, limit overrides, walls, frame stock; and reading the works."""

import msgspec
import pytest

from hangworthy.contract import Check, Override, Section, State, StockFrame, ask, at_most, fact, holds
from hangworthy.engine.catalogue import Installed, build_catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.fault import VenueError
from hangworthy.engine.reading import out_of_range
from hangworthy.engine.ruleset import Ruleset, Venue, fingerprint
from small_packs import (
    WORDS,
    SmallLimits,
    catalogue,
    decode,
    evaluate,
    evaluator,
    finding,
    pack,
    returning,
    small,
    small_rule,
)


@small_rule("gap", words=WORDS, uses=["gap_mm", "low_mm"])
def gap_rule(limits: SmallLimits, gap: float = fact("small.gap_mm")) -> Check:
    """Is the gap small?"""
    return at_most(gap, limits.gap_mm, unit="mm")


@small_rule("damp")
def damp_rule(rh: float = fact("wall.rh_percent"), outer: bool = fact("wall.outer_wall")) -> Check:
    """Is the wall dry?"""
    return holds(rh < 60 and not outer)


@small_rule("fits")
def fits_rule(frames: tuple[StockFrame, ...] = fact("venue.frames"), width: float = fact("width_mm")) -> Check:
    """Does a stock frame fit?"""
    return holds(any(frame.width_mm == width for frame in frames))


def venue(**details) -> Venue:
    return Venue(name="hall", **details)


@pytest.mark.parametrize("value", [10, "10 mm", "1 cm"])
def test_an_override_is_in_force_and_shown_with_its_reason(value) -> None:
    one = evaluator(gap_rule, venue=venue(limits={"small.gap_mm": Override(value=value, reason="old walls")}))
    found = finding(one, small(gap_mm=9))
    assert (found.state, found.at_most) == (State.MET, 10.0)
    assert [(used.name, used.value, used.reason) for used in found.limits] == [
        ("small.gap_mm", 10.0, "old walls"),
        ("small.low_mm", 2.0, ""),
    ]


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("small.gap", 10, ("hall", "small.gap", "small.gap_mm")),
        ("gap_mm", 10, ("hall", "gap_mm")),
        ("small.gap_mm", "10 kg", ("hall", "small.gap_mm", "kg")),
        ("small.gap_mm", "ten", ("hall", "small.gap_mm", "ten")),
        ("small.gap_mm", "20 cm", ("hall", "small.gap_mm", "0 mm", "50 mm", "200 mm")),
        ("small.gap_mm", -1, ("hall", "small.gap_mm", "−1 mm")),
        ("small.gap_mm", float("nan"), ("hall", "small.gap_mm")),
    ],
)
def test_a_bad_override_stops_the_start(name, value, said) -> None:
    with pytest.raises(VenueError) as caught:
        evaluator(gap_rule, venue=venue(limits={name: Override(value=value, reason="because")}))
    for part in said:
        assert part in str(caught.value)


def test_a_venue_chooses_its_packs() -> None:
    other = pack(returning(holds(True)), name="other", sections={})
    with pytest.raises(VenueError, match=r"hall: pack “smal” is not installed .*Did you mean “small”"):
        evaluator(gap_rule, other, venue=venue(packs=("smal",)))
    one = evaluator(gap_rule, other, venue=venue(packs=("other", "other")))
    assert [used.name for used in one.ruleset.packs] == ["other"]
    assert [found.rule for found in evaluate(one, {}).works[0].findings] == ["other.returns"]
    with pytest.raises(VenueError, match="there is no limit"):
        evaluator(gap_rule, other, venue=venue(packs=("other",), limits={"small.gap_mm": Override(value=1, reason="why not")}))


def test_all_that_a_venue_names_wrongly_is_told_at_once() -> None:
    wrong = {
        "small.gap_mm": Override(value="3 kg", reason="why not"),
        "small.gapp_mm": Override(value=1, reason="why not"),
    }
    with pytest.raises(VenueError) as caught:
        evaluator(gap_rule, venue=venue(packs=("small", "tall", "wide"), limits=wrong))
    told = str(caught.value).splitlines()
    assert [line.startswith("venue hall: ") for line in told] == [True] * 4
    assert ["“tall”" in told[0], "“wide”" in told[1], "weight" in told[2], "Did you mean “small.gap_mm”" in told[3]] == [True] * 4


def test_a_venue_without_any_pack() -> None:
    with pytest.raises(VenueError, match="installed: none"):
        Ruleset(catalogue(), venue(packs=("small",)))
    assert evaluate(evaluator(venue=venue()), {}).works[0].settled


def test_a_walls_own_values_come_before_the_venues_conditions() -> None:
    wall = catalogue(pack(damp_rule)).schema.wall
    one = evaluator(damp_rule, venue=venue(conditions=wall(rh_percent=50.0, outer_wall=False), walls={"north": wall(rh_percent=70.0)}))
    assert finding(one, {}).state is State.MET
    found = finding(one, {"wall_name": "north"})
    assert (found.state, found.facts) == (State.UNMET, {"/wall/rh_percent": 70.0, "/wall/outer_wall": False})


def test_a_venue_that_says_nothing_leaves_it_unknown_for_the_coordinator() -> None:
    found = finding(damp_rule, {})
    assert (found.state, found.missing) == (State.UNKNOWN, ("/wall/rh_percent", "/wall/outer_wall"))


def test_frames() -> None:
    one = evaluator(fits_rule, venue=venue(frames=(StockFrame(name="A", width_mm=400, height_mm=500),)))
    found = finding(one, {"width_mm": 400})
    assert (found.state, found.facts["/venue/frames"]) == (State.MET, ["A"])
    answer = evaluate(evaluator(fits_rule), {"width_mm": 400}).works[0]
    assert answer.findings[0].missing == ("/venue/frames",)
    assert answer.questions[0].type == "listed"


class NorthFacts(Section):
    """What a pack asks of walls."""

    north: bool = ask("North", "Does it look north?", asked_of="coordinator")


def test_a_pack_may_ask_for_facts_of_walls() -> None:
    @small_rule("north")
    def north_rule(north: bool = fact("wall.north")) -> Check:
        """Does the wall look north?"""
        return holds(north)

    built = build_catalogue([Installed(pack=pack(north_rule, sections={"wall": NorthFacts}), case_names=frozenset(["north"]))])
    hall = Venue(name="hall", conditions=built.schema.wall(north=False), walls={"a": built.schema.wall(north=True)})
    one = Evaluator(Ruleset(built, hall))
    found = one.evaluate([built.schema.work(ref="x"), built.schema.work(ref="y", wall_name="a")]).works
    assert [answer.findings[0].state for answer in found] == [State.UNMET, State.MET]


def bad(one, *works) -> list[tuple[int, str, str]]:
    with pytest.raises(BadWorks) as caught:
        evaluate(one, *works)
    assert str(caught.value)
    return [(place, fault.pointer, fault.message) for place, fault in caught.value.bad]


def test_every_bad_fact_of_every_work_is_told() -> None:
    found = bad(
        evaluator(gap_rule),
        small(gap_mm="nonsense", gaps_mm=[0, "2 kg", 0, "900 mm"]),
        {"price": "NaN"},
        {"price": "-1", "width_mm": "30 m"},
        small(free_mm="1e13"),
    )
    assert [(place, pointer) for place, pointer, _ in found] == [
        (0, "/small/gap_mm"), (0, "/small/gaps_mm/1"), (0, "/small/gaps_mm/3"), (1, "/price"), (2, "/width_mm"), (2, "/price"),
        (3, "/small/free_mm"),
    ]  # fmt: skip
    messages = dict(((place, pointer), message) for place, pointer, message in found)
    assert "between 0 mm and 500 mm; 900 mm was given" in messages[0, "/small/gaps_mm/3"]
    assert "1250.00" in messages[1, "/price"]


def test_a_fact_with_one_bound_says_so() -> None:
    class Half(Section):
        """Facts with one bound."""

        low_mm: float = ask("Low", "How low?", lo=3)
        high_mm: float = ask("High", "How high?", hi=3)

    slots = catalogue(pack(gap_rule), pack(returning(holds(True)), name="half", sections={"half": Half})).schema.by_path
    assert "at least 3 mm" in out_of_range(slots["half.low_mm"], 1)
    assert "at most 3 mm" in out_of_range(slots["half.high_mm"], 9)


def test_two_works_with_one_reference() -> None:
    [(place, pointer, message)] = bad(evaluator(gap_rule), {"ref": "a"}, {"ref": "a"})
    assert (place, pointer) == (1, "/ref")
    assert "own" in message


def test_a_wall_that_is_not_there() -> None:
    wall = catalogue(pack(gap_rule)).schema.wall
    one = evaluator(gap_rule, venue=venue(walls={"north": wall(), "south": wall()}))
    [(_, pointer, message)] = bad(one, {"wall_name": "nort"})
    assert pointer == "/wall_name"
    assert "north, south" in message
    assert "“north”" in message
    [(_, _, message)] = bad(evaluator(gap_rule), {"wall_name": "north"})
    assert "no walls" in message


def test_reading_is_exact_and_null_means_not_known() -> None:
    one = evaluator(gap_rule)
    read = one.read(decode(one, [small(gap_mm="6 ± 1", gaps_mm=["1 in", 0, 0, 0], keyed=None) | {"price": "12.50"}]))[0]
    by_path = one.ruleset.schema.by_path
    assert read.values[by_path["small.gap_mm"].index] == 6.0
    assert read.values[by_path["small.gaps_mm"].index] == (25.4, 0, 0, 0)
    assert read.values[by_path["small.keyed"].index] is None
    [uncertain] = read.uncertain
    assert (uncertain.slot, uncertain.item) == (by_path["small.gap_mm"].index, None)
    assert uncertain.u == pytest.approx(1 / 3**0.5)
    assert msgspec.json.decode(b'{"works":[{"ref":"a"}]}', type=one.ruleset.schema.request).stage == "offer"


def test_limits_refuse_a_name_that_is_none() -> None:
    with pytest.raises(KeyError):
        SmallLimits(nonsense=1.0)
    assert SmallLimits(gap_mm=1.0).gap_mm == 1.0


def test_fingerprints_tell_contents_apart() -> None:
    assert fingerprint(b"a") != fingerprint(b"b")
    assert len(fingerprint(b"a")) == 16
