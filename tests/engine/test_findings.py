"""States, effects, stages, conditions and ways of measuring: what one finding says."""

import msgspec
import pytest

from hangworthy.contract import (
    CAUTION_BARS,
    Check,
    Effect,
    Four,
    Outcome,
    Stage,
    State,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    holds,
    show,
    where,
    within,
)
from small_packs import PLAIN, WORDS, SmallLimits, evaluate, evaluator, finding, pack, returning, small, small_rule


@small_rule("gap", words=WORDS, uses=["gap_mm"], cautions=[CAUTION_BARS])
def gap_rule(limits: SmallLimits, gap: float = fact("small.gap_mm")) -> Check:
    """Is the gap small?"""
    return at_most(gap, limits.gap_mm, unit="mm")


@small_rule("keys", effect=[Effect.PREPARE, Effect.REPAIR], words=PLAIN)
def keys_rule(gap: float = fact("small.gap_mm"), keyed: bool = fact("small.keyed", try_each=True)) -> Check:
    """Is the gap small, keys or not?"""
    return at_most(gap, 5.0, unit="mm", effect=Effect.PREPARE if keyed else Effect.REPAIR)


def test_unmet_shows_everything() -> None:
    found = finding(gap_rule, small(gap_mm=9))
    assert (found.state, found.effect, found.rule, found.pack, found.pack_version) == (
        State.UNMET,
        Effect.REPAIR,
        "small.gap",
        "small",
        "1",
    )
    assert (found.measured, found.at_most, found.at_least, found.unit, found.share) == (9.0, 6.0, None, "mm", 1.5)
    assert found.facts == {"/small/gap_mm": 9.0}
    assert found.artist == "The gap is 9 mm, at most 6 mm is right."
    assert found.coordinator == "Gap: 9 mm, at most 6 mm allowed."
    assert (found.question, found.remedy, found.cautions) == ("Is the gap small?", "Close the gap.", (CAUTION_BARS,))
    assert [(one.name, one.value, one.unit, one.source.provenance) for one in found.limits] == [("small.gap_mm", 6.0, "mm", "own policy")]


def test_met_has_no_remedy_and_no_caution() -> None:
    found = finding(gap_rule, small(gap_mm=6))
    assert (found.state, found.artist, found.remedy, found.cautions, found.share) == (State.MET, "It is fine.", "", (), 1.0)


def test_unknown_names_what_is_missing_and_how_to_measure() -> None:
    found = finding(gap_rule, {})
    assert (found.state, found.missing, found.due) == (State.UNKNOWN, ("/small/gap_mm",), None)
    assert (found.artist, found.remedy) == ("Please tell us: gap.", "With a feeler gauge.")
    assert found.coordinator == "Gap: not known yet; missing: gap."


def test_a_fact_that_only_the_coordinator_knows_is_not_asked_of_the_artist() -> None:
    @small_rule("note")
    def rule(note: str = fact("small.note")) -> Check:
        """Is there a note?"""
        return holds(bool(note))

    found = finding(rule, {})
    assert (found.state, found.remedy) == (State.UNKNOWN, "")
    assert "tell us" not in found.artist.lower()


@pytest.mark.parametrize(
    ("check", "state", "share", "bench"),
    [
        (at_least(3, 2, unit="mm"), State.MET, 2 / 3, "Gap: 3 mm, at least 2 mm needed."),
        (at_least(1, 2, unit="mm"), State.UNMET, 2.0, "Gap: 1 mm, at least 2 mm needed."),
        (at_least(1e-308, 2, unit="mm"), State.UNMET, None, "Gap: 0 mm, at least 2 mm needed."),
        (at_most(2, 1e-308, unit="mm"), State.UNMET, None, "Gap: 2 mm, at most 0 mm allowed."),
        (at_least(0, 2, unit="mm"), State.UNMET, None, "Gap: 0 mm, at least 2 mm needed."),
        (at_most(0, 0, unit="mm"), State.MET, None, "Gap: 0 mm, none allowed."),
        (at_most(0.2, 0, unit="mm"), State.UNMET, None, "Gap: 0.2 mm, none allowed."),
        (at_most(-0.2, 0, unit="°C"), State.MET, None, "Gap: −0.2 °C, at most 0 °C allowed."),
        (at_most(102.04, 102, unit="mm"), State.UNMET, 1.000392, "Gap: 102.04 mm, at most 102 mm allowed."),
        (at_least(101.96, 102, unit="mm"), State.UNMET, 1.000392, "Gap: 101.96 mm, at least 102 mm needed."),
        (within(4.001, 2, 4, unit="mm"), State.UNMET, None, "Gap: 4.001 mm, 2 mm to 4 mm allowed."),
        (at_most(2, 102, unit="mm"), State.MET, 0.019608, "Gap: 2 mm, at most 102 mm allowed."),
        (at_most(102.0000001, 102, unit="mm"), State.UNMET, 1.0, "Gap: 102 mm, at most 102 mm allowed."),
        (within(2, 2, 4, unit="mm"), State.MET, None, "Gap: 2 mm, 2 mm to 4 mm allowed."),
        (within(5, 2, 4, unit="mm"), State.UNMET, None, "Gap: 5 mm, 2 mm to 4 mm allowed."),
        (holds(True), State.MET, None, "Gap: as it should be."),
        (holds(False), State.UNMET, None, "Gap: not as it should be."),
        (Check(True, 3.0, unit="mm"), State.MET, None, "Gap: 3 mm."),
    ],
)
def test_checks(check: Check, state: State, share: float | None, bench: str) -> None:
    found = finding(returning(check), small(gap_mm=1))
    assert (found.state, found.coordinator) == (state, bench)
    assert found.share == (None if share is None else pytest.approx(share, rel=1e-5))


def test_named_values_and_a_bench_sentence() -> None:
    words = Words(measure="X", met="{who} is fine.", unmet="-", remedy="-", bench="Seen by {who}: {value}.")
    found = finding(returning(at_most(1.5, 2, unit="mm", who="Ada"), words=words), small(gap_mm=1))
    assert (found.artist, found.coordinator) == ("Ada is fine.", "Seen by Ada: 1.5 mm.")
    assert show(1.5, "mm") == "1.5 mm"


def test_the_check_narrows_the_effect_and_the_remedy_follows() -> None:
    words = Words(measure="X", met="-", unmet="Bad.", remedy={Effect.PREPARE: "Tap the keys.", Effect.REPAIR: "Ask a framer."})
    rule = returning(lambda: holds(False, effect=Effect.PREPARE), effect=[Effect.PREPARE, Effect.REPAIR], words=words)
    found = finding(rule, small(gap_mm=1))
    assert (found.effect, found.remedy) == (Effect.PREPARE, "Tap the keys.")
    rule = returning(lambda: holds(False), effect=[Effect.PREPARE, Effect.REPAIR], words=words)
    assert finding(rule, small(gap_mm=1)).effect is Effect.REPAIR


# Stages


@small_rule("later", due=Stage.ARRIVAL)
def later_rule(gap: float = fact("small.gap_mm")) -> Check:
    """Is it so on arrival?"""
    return at_most(gap, 6.0, unit="mm")


def test_before_its_stage_a_rule_is_listed_but_neither_asked_nor_counted() -> None:
    one = evaluator(later_rule)
    answer = evaluate(one, {}).works[0]
    found = answer.findings[0]
    assert (found.state, found.due, found.missing) == (State.UNKNOWN, Stage.ARRIVAL, ("/small/gap_mm",))
    assert "arrival" in found.artist
    assert (answer.outcome, answer.at_worst, answer.settled, answer.questions) == (Outcome.READY, Outcome.READY, True, [])


def test_at_its_stage_and_after_it_counts() -> None:
    for stage in (Stage.ARRIVAL, Stage.RETURN):
        answer = evaluate(evaluator(later_rule), {}, stage=stage).works[0]
        assert (answer.findings[0].due, answer.at_worst, answer.settled) == (None, Outcome.REPAIR, False)
        assert [one.fact for one in answer.questions] == ["/small/gap_mm"]


def test_facts_given_early_count_early() -> None:
    answer = evaluate(evaluator(later_rule), small(gap_mm=9)).works[0]
    assert (answer.findings[0].state, answer.outcome) == (State.UNMET, Outcome.REPAIR)


# Conditions


@small_rule("reds", applies=[where("small.hue", "red", "green")])
def reds_rule(gap: float = fact("small.gap_mm")) -> Check:
    """Is the gap of a red work small?"""
    return at_most(gap, 6.0, unit="mm")


def test_where() -> None:
    assert finding(reds_rule, small(hue="blue", gap_mm=9)).state is State.NOT_APPLICABLE
    assert finding(reds_rule, small(hue="red", gap_mm=9)).state is State.UNMET
    found = finding(reds_rule, small(gap_mm=9))
    assert (found.state, found.missing) == (State.UNKNOWN, ("/small/hue",))


def test_a_fact_that_two_conditions_are_about_is_asked_for_once() -> None:
    @small_rule("red", applies=[where("small.hue", "red", "green"), where("small.hue", "red")])
    def rule(gap: float = fact("small.gap_mm")) -> Check:
        """Is the gap of a red work small?"""
        return at_most(gap, 6.0, unit="mm")

    found = finding(rule, small(gap_mm=9))
    assert (found.state, found.missing) == (State.UNKNOWN, ("/small/hue",))
    assert found.coordinator == "Gap: not known yet; missing: hue."


def test_where_with_a_list_is_met_by_any_of_its_items() -> None:
    @small_rule("torn", applies=[where("small.marks", "tear")])
    def rule(gap: float = fact("small.gap_mm")) -> Check:
        """Is a torn work fine?"""
        return holds(True)

    assert finding(rule, small(marks=["dent"], gap_mm=1)).state is State.NOT_APPLICABLE
    assert finding(rule, small(marks=["dent", "tear"], gap_mm=1)).state is State.MET
    assert finding(rule, small(marks=[], gap_mm=1)).state is State.NOT_APPLICABLE


def test_a_condition_that_fails_decides_although_another_is_unknown() -> None:
    @small_rule("both", applies=[where("small.hue", "red"), where("small.keyed", True)])
    def rule(gap: float = fact("small.gap_mm")) -> Check:
        """Is it so?"""
        return holds(True)

    assert finding(rule, small(keyed=False)).state is State.NOT_APPLICABLE
    assert finding(rule, small(keyed=True)).missing == ("/small/hue",)


def test_given_compares_only_where_both_are_there() -> None:
    @small_rule("agree", applies=[given("small.gap_mm", "small.other_mm")])
    def rule(one: float = fact("small.gap_mm"), two: float = fact("small.other_mm")) -> Check:
        """Do both agree?"""
        return at_most(abs(one - two), 1.0, unit="mm")

    assert finding(rule, small(gap_mm=9)).state is State.NOT_APPLICABLE
    found = finding(rule, small(gap_mm=9, other_mm=3))
    assert (found.state, found.measured) == (State.UNMET, 6.0)
    assert finding(rule, {}).artist


# try_each, optional, Undecided


def test_try_each_settles_what_all_answers_agree_on() -> None:
    found = finding(keys_rule, small(gap_mm=3))
    assert (found.state, found.missing, found.effect_at_worst) == (State.MET, (), None)
    answer = evaluate(evaluator(keys_rule), small(gap_mm=9)).works[0]
    found = answer.findings[0]
    assert (found.state, found.effect, found.effect_at_worst, found.missing) == (
        State.UNMET, Effect.PREPARE, Effect.REPAIR, ("/small/keyed",),
    )  # fmt: skip
    assert (answer.outcome, answer.at_worst, answer.settled) == (Outcome.PREPARE, Outcome.REPAIR, False)
    assert [(one.fact, one.effect) for one in answer.questions] == [("/small/keyed", Effect.REPAIR)]


def test_try_each_with_a_known_answer() -> None:
    assert finding(keys_rule, small(gap_mm=9, keyed=True)).effect is Effect.PREPARE
    assert finding(keys_rule, small(gap_mm=9, keyed=False)).effect is Effect.REPAIR


def test_try_each_that_differs_is_unknown() -> None:
    @small_rule("hues")
    def rule(hue: str = fact("small.note"), keyed: bool = fact("small.keyed", try_each=True)) -> Check:
        """Is it keyed?"""
        return holds(keyed)

    found = finding(rule, small(note="x"))
    assert (found.state, found.missing) == (State.UNKNOWN, ("/small/keyed",))
    assert finding(rule, {}).missing == ("/small/note",)


def test_a_borderline_answer_whose_effect_is_open_counts_at_its_worst() -> None:
    answer = evaluate(evaluator(keys_rule), small(gap_mm="5 ± 1")).works[0]
    found = answer.findings[0]
    assert (found.state, found.effect, found.effect_at_worst) == (State.BORDERLINE, Effect.PREPARE, Effect.REPAIR)
    assert (answer.outcome, answer.at_worst) == (Outcome.READY, Outcome.REPAIR)


@small_rule("maybe")
def maybe_rule(gap: float = fact("small.gap_mm"), keyed: bool | None = fact("small.keyed", optional=True)) -> Check | Undecided:
    """Is it so?"""
    if gap > 5 and keyed is None:
        return Undecided(("small.keyed",))
    return holds(gap <= 5 or bool(keyed))


def test_optional_facts_and_undecided() -> None:
    assert finding(maybe_rule, small(gap_mm=1)).state is State.MET
    found = finding(maybe_rule, small(gap_mm=9))
    assert (found.state, found.missing, found.facts) == (State.UNKNOWN, ("/small/keyed",), {"/small/gap_mm": 9.0})
    assert finding(maybe_rule, small(gap_mm=9, keyed=False)).state is State.UNMET


def test_undecided_in_a_trial_asks_for_both() -> None:
    @small_rule("deep")
    def rule(note: str | None = fact("small.note", optional=True), keyed: bool = fact("small.keyed", try_each=True)) -> Check | Undecided:
        """Is it so?"""
        return holds(True) if keyed or note else Undecided(("small.note",))

    found = finding(rule, {})
    assert (found.state, found.missing) == (State.UNKNOWN, ("/small/keyed", "/small/note"))


# Ways of measuring one thing


def _ways() -> list:
    @small_rule("taut", by="tap", prefer=1, effect=Effect.PREPARE)
    def tap(gap: float = fact("small.gap_mm")) -> Check:
        """Is it taut?"""
        return at_most(gap, 6.0, unit="mm")

    @small_rule("taut", by="press", prefer=0, effect=Effect.REPAIR)
    def press(other: float = fact("small.other_mm"), free: float = fact("small.free_mm")) -> Check:
        """Is it taut?"""
        return at_most(other + free, 6.0, unit="mm")

    @small_rule("taut", by="eye", prefer=2, applies=[where("small.hue", "red")])
    def eye(note: str = fact("small.note")) -> Check:
        """Is it taut?"""
        return holds(note == "taut")

    return [tap, press, eye]


def test_with_no_way_measured_one_unknown_remains_and_lists_the_others() -> None:
    findings = evaluate(evaluator(*_ways()), small(hue="red")).works[0].findings
    assert len(findings) == 1
    found = findings[0]
    assert (found.by, found.missing, found.effect) == ("tap", ("/small/gap_mm",), Effect.REPAIR)
    assert found.instead == (("/small/note",), ("/small/other_mm", "/small/free_mm"))


def test_the_way_that_needs_least_is_asked_for() -> None:
    assert finding(evaluator(*_ways()), small(hue="blue", other_mm=1)).by == "press"


def test_any_way_settles_it_and_a_second_is_a_finding_of_its_own() -> None:
    one = evaluator(*_ways())
    answer = evaluate(one, small(gap_mm=1)).works[0]
    assert [(found.by, found.state) for found in answer.findings] == [("tap", State.MET)]
    assert answer.settled
    assert answer.questions == []
    both = evaluate(one, small(gap_mm=1, other_mm=9, free_mm=1)).works[0]
    assert [(found.by, found.state) for found in both.findings] == [("press", State.UNMET), ("tap", State.MET)]


def test_ways_that_do_not_concern_the_work_leave_one_finding() -> None:
    @small_rule("taut", by="a", applies=[where("small.hue", "red")])
    def first(gap: float = fact("small.gap_mm")) -> Check:
        """Is it taut?"""
        return holds(True)

    @small_rule("taut", by="b", applies=[where("small.hue", "red")])
    def second(gap: float = fact("small.other_mm")) -> Check:
        """Is it taut?"""
        return holds(True)

    findings = evaluate(evaluator(first, second), small(hue="blue")).works[0].findings
    assert [(found.by, found.state) for found in findings] == [("a", State.NOT_APPLICABLE)]


def test_a_way_that_is_due_is_asked_before_one_that_is_not() -> None:
    @small_rule("taut", by="a", due=Stage.ARRIVAL)
    def first(gap: float = fact("small.gap_mm")) -> Check:
        """Is it taut?"""
        return holds(True)

    @small_rule("taut", by="b", prefer=5)
    def second(one: float = fact("small.other_mm"), two: float = fact("small.free_mm")) -> Check:
        """Is it taut?"""
        return holds(True)

    one = evaluator(first, second)
    assert finding(one, {}).by == "b"
    assert finding(one, {}, Stage.ARRIVAL).by == "a"


def test_lists_dates_and_shared_facts_reach_the_rule() -> None:
    @small_rule("lists")
    def rule(gaps: Four = fact("small.gaps_mm"), many: tuple[float, ...] = fact("small.many_mm"), width: float = fact("width_mm")) -> Check:
        """Are the lists read?"""
        return at_most(sum(gaps) + sum(many) + width, 1e6, unit="mm")

    found = finding(rule, {"width_mm": "1 m"} | small(gaps_mm=[1, "2 cm", 3, 4], many_mm=["1 in", 2]))
    assert found.measured == pytest.approx(1000 + 28 + 27.4)
    assert found.facts["/small/gaps_mm"] == (1.0, 20.0, 3.0, 4.0)
    assert msgspec.json.encode(found)


def test_findings_are_listed_by_code() -> None:
    codes = [found.rule for found in evaluate(evaluator(pack(keys_rule, gap_rule)), {}).works[0].findings]
    assert codes == ["small.gap", "small.keys"]


def test_where_a_fact_that_is_tried_decides_the_effect_the_remedy_says_what_to_do_in_either_case() -> None:
    remedies = {Effect.PREPARE: "Tap the keys.", Effect.REPAIR: "Have it stretched."}
    words = Words(
        measure="Gap", met="Fine.", unmet="Slack.", remedy=remedies, either="Tap the keys, if there are any. Else have it stretched."
    )

    @small_rule("taut", effect=(Effect.PREPARE, Effect.REPAIR), words=words)
    def taut(gap: float = fact("small.gap_mm"), keyed: bool = fact("small.keyed", try_each=True)) -> Check:
        """Is it taut?"""
        return at_most(gap, 5.0, unit="mm", effect=Effect.PREPARE if keyed else Effect.REPAIR)

    told = [finding(taut, small(gap_mm=9, **known)) for known in ({"keyed": True}, {"keyed": False}, {})]
    assert [one.remedy for one in told] == [*remedies.values(), words.either]


def test_while_a_hazard_is_unmet_only_what_concerns_hazards_is_asked() -> None:
    @small_rule("mould", effect=Effect.REFUSE, step=Step.ISOLATE)
    def mould(keyed: bool = fact("small.keyed")) -> Check:
        """Is there no mould?"""
        return holds(keyed)

    @small_rule("mould-small", effect=Effect.REFUSE, step=Step.ISOLATE)
    def size(free: float = fact("small.free_mm")) -> Check:
        """Is the mould small?"""
        return holds(free < 1)

    @small_rule("gap", effect=Effect.REPAIR)
    def gap(gap: float = fact("small.gap_mm"), free: float = fact("small.free_mm")) -> Check:
        """Is the gap small?"""
        return holds(gap < free)

    asked = evaluator(mould, size, gap)
    for keyed, facts, settles in (
        (False, ["free_mm"], ("small.mould-small",)),
        (True, ["free_mm", "gap_mm"], ("small.gap", "small.mould-small")),
    ):
        got = evaluate(asked, small(keyed=keyed)).works[0]
        assert [one.fact for one in got.questions] == [f"/small/{name}" for name in facts]
        assert got.questions[0].settles == settles
        assert {one.rule: one.missing for one in got.findings}["small.gap"] == ("/small/gap_mm", "/small/free_mm")
        assert (got.at_worst, got.settled) == (Outcome.REFUSE, not keyed)


def test_an_unmet_hazard_is_named_as_what_comes_first() -> None:
    @small_rule("mould", effect=Effect.REFUSE, step=Step.ISOLATE)
    def mould(keyed: bool = fact("small.keyed")) -> Check:
        """Is there no mould?"""
        return holds(keyed)

    @small_rule("examined", effect=Effect.PREPARE, step=Step.ISOLATE)
    def examined(braced: bool = fact("small.braced")) -> Check:
        """Was it examined on its own?"""
        return holds(braced)

    @small_rule("paint", effect=Effect.REPAIR, step=Step.ISOLATE)
    def paint(gap: float = fact("small.gap_mm")) -> Check:
        """Does the paint hold?"""
        return holds(gap < 1)

    asked = evaluator(mould, examined, paint)
    assert evaluate(asked, small(keyed=False, braced=False)).works[0].safe_first == ("small.mould",)
    loose = evaluate(asked, small(gap_mm=2, braced=False)).works[0]
    assert (loose.safe_first, loose.outcome) == (("small.paint",), Outcome.REPAIR)
    for facts in ({"keyed": True, "braced": False}, {}):
        assert evaluate(asked, small(**facts)).works[0].safe_first is msgspec.UNSET
