"""Uncertainty: closed forms and printed values, never the rule's own output.

JCGM 106 values are from memory: the conformance probability of 5.40 V measured with 0.05 V against at most 5.47 V.
A person's ± states bounds, so u = a/√3; the texts below are written with a = u·√3 where a round u is wanted.
"""

import math

import pytest

from hangworthy.contract import Check, Effect, Four, Guard, Outcome, State, Undecided, at_least, at_most, fact, holds, within
from hangworthy.engine.ruleset import Venue
from hangworthy.engine.uncertainty import combine, judge, normal_cdf
from small_packs import WORDS, evaluate, evaluator, finding, small, small_rule

SQRT3 = math.sqrt(3)


def pm(value: float, u: float, unit: str = "") -> str:
    """A text whose standard uncertainty is u."""
    return f"{value} ± {u * SQRT3:.12f}{unit}"


@pytest.mark.parametrize(
    ("z", "expected"),
    [(0, 0.5), (1, 0.841344746), (1.4, 0.919243341), (-1.4, 0.080756659), (1.96, 0.975002105), (2, 0.977249868), (-8, 6.22e-16)],
)
def test_normal_distribution(z: float, expected: float) -> None:
    assert normal_cdf(z) == pytest.approx(expected, rel=1e-3, abs=1e-9)


@small_rule("volts")
def volts(gap: float = fact("small.gap_mm")) -> Check:
    """Is it below 5.47?"""
    return at_most(gap, 5.47, unit="mm")


def test_the_worked_example_of_jcgm_106() -> None:
    found = finding(volts, small(gap_mm=pm(5.40, 0.05)))
    assert found.state is State.BORDERLINE
    assert found.probability == pytest.approx(0.9192, abs=0.0001)
    assert found.standard_uncertainty == pytest.approx(0.05, rel=1e-5)
    assert "92 %" in found.coordinator
    assert "too close" in found.artist
    assert found.remedy


@pytest.mark.parametrize(
    ("value", "state"), [(5.30, State.MET), (5.38, State.MET), (5.40, State.BORDERLINE), (5.55, State.BORDERLINE), (5.56, State.UNMET)]
)
def test_guard_bands_at_95_percent_lie_1_645_u_from_the_limit(value: float, state: State) -> None:
    """5.47 ∓ 1.645 × 0.05 is 5.388 and 5.552."""
    assert finding(volts, small(gap_mm=pm(value, 0.05))).state is state


@pytest.mark.parametrize(
    ("guard", "state"),
    [(Guard(low=0.05, high=0.9), State.MET), (Guard(low=0.0, high=1.0), State.BORDERLINE), (Guard(low=0.5, high=0.5), State.MET)],
)
def test_the_venue_sets_the_guard(guard: Guard, state: State) -> None:
    one = evaluator(volts, venue=Venue(name="test", guard=guard))
    assert finding(one, small(gap_mm=pm(5.40, 0.05))).state is state


@pytest.mark.parametrize(
    ("value", "limit", "said"),
    [
        (5.4703, 5.47, "5.4703 mm, at most 5.47 mm allowed."),
        (5.47, 5.47, "5.47 mm, just at the limit."),
        (0.0, 0.0, "none is allowed, and with the ± of your figures there may be some."),
        (0.01, 0.0, "0.01 mm, none allowed."),
    ],
)
def test_a_figure_and_its_limit_never_read_alike_unless_they_are(value: float, limit: float, said: str) -> None:
    found = finding(returning_of(lambda gap: at_most(gap, limit, unit="mm")), small(gap_mm=pm(value, 0.05)))
    assert (found.state, found.artist) == (State.BORDERLINE, f"This is too close to call. {WORDS.measure}: {said}")


def test_at_least_and_within() -> None:
    low = finding(returning_of(lambda gap: at_least(gap, 5.33, unit="mm")), small(gap_mm=pm(5.40, 0.05)))
    assert low.probability == pytest.approx(0.9192, abs=0.0001)
    both = finding(returning_of(lambda gap: within(gap, 5.33, 5.47, unit="mm")), small(gap_mm=pm(5.40, 0.05)))
    assert both.probability == pytest.approx(2 * 0.9192433 - 1, abs=0.0001)


def returning_of(function):
    @small_rule("of")
    def rule(gap: float = fact("small.gap_mm")) -> Check:
        """Is it so?"""
        return function(gap)

    return rule


def test_two_inputs_combine_in_quadrature() -> None:
    @small_rule("sum")
    def rule(one: float = fact("small.gap_mm"), two: float = fact("small.other_mm")) -> Check:
        """Is the sum small?"""
        return at_most(one + 2 * two, 20.0, unit="mm")

    found = finding(rule, small(gap_mm=pm(5, 0.3), other_mm=pm(5, 0.2)))
    assert found.standard_uncertainty == pytest.approx(0.5, rel=1e-5)  # √(0.3² + (2·0.2)²)
    assert found.state is State.MET


def test_product_matches_the_relative_rule() -> None:
    """For a product the relative uncertainties combine: u/(xy) = √((u₁/x)² + (u₂/y)²)."""

    @small_rule("product")
    def rule(one: float = fact("small.gap_mm"), two: float = fact("small.other_mm")) -> Check:
        """Is the product small?"""
        return at_most(one * two, 1e4, unit="mm")

    found = finding(rule, small(gap_mm=pm(40, 0.4), other_mm=pm(50, 1.0)))
    assert found.standard_uncertainty == pytest.approx(2000 * math.hypot(0.01, 0.02), rel=1e-5)


def test_a_fact_named_twice_is_moved_in_both_places() -> None:
    """x − x has no spread, 2x twice that of x: one measurement, not two."""

    @small_rule("same")
    def rule(one: float = fact("small.gap_mm"), two: float = fact("small.gap_mm")) -> Check:
        """Is the difference small?"""
        return at_most(one - two, 0.5, unit="mm")

    @small_rule("twice")
    def twice(one: float = fact("small.gap_mm"), two: float = fact("small.gap_mm")) -> Check:
        """Is the sum small?"""
        return at_most(one + two, 100.0, unit="mm")

    same = finding(rule, small(gap_mm=pm(6, 1)))
    assert (same.state, same.measured, same.probability) == (State.MET, 0.0, None)
    assert finding(twice, small(gap_mm=pm(6, 1))).standard_uncertainty == pytest.approx(2.0, rel=1e-5)


@small_rule("twist")
def twist(gaps: Four = fact("small.gaps_mm")) -> Check:
    """Is the twist small?"""
    return at_most(abs(gaps[0] - gaps[1] + gaps[2] - gaps[3]), 6.0, unit="mm")


def test_items_of_a_list_are_moved_one_by_one() -> None:
    found = finding(twist, small(gaps_mm=[pm(20, 1), 10, pm(6, 1), 10]))
    assert found.measured == 6.0
    assert found.standard_uncertainty == pytest.approx(math.sqrt(2), rel=1e-5)
    assert found.probability == pytest.approx(0.5, abs=1e-6)
    assert found.state is State.BORDERLINE


def test_at_a_turning_point_the_larger_one_sided_move_counts() -> None:
    """|x| at x = 0 has no half-difference; one standard uncertainty away it has grown by u."""
    found = finding(twist, small(gaps_mm=[pm(10, 1), 10, 10, 10]))
    assert (found.measured, found.standard_uncertainty) == (0.0, pytest.approx(1.0, rel=1e-5))
    assert combine(0.0, [(1.0, 1.0, 1.0)]) == 1.0
    assert combine(5.0, [(3.0, 4.0, 1.0)]) == 2.0
    assert combine(5.0, []) == 0.0


def test_a_move_that_the_sane_range_cuts_short_is_scaled_back() -> None:
    """A gap of 0 cannot move below 0: half the move is cut, and the other half stands for both."""
    found = finding(volts, small(gap_mm=pm(0, 0.5)))
    assert found.standard_uncertainty == pytest.approx(0.5, rel=1e-5)
    assert finding(volts, small(gap_mm=pm(500, 0.5))).standard_uncertainty == pytest.approx(0.5, rel=1e-5)


def test_without_a_number_a_move_that_turns_the_answer_is_borderline() -> None:
    rule = returning_of(lambda gap: holds(gap < 6))
    turned = finding(rule, small(gap_mm=pm(5.9, 0.5)))
    assert (turned.state, turned.probability, turned.standard_uncertainty) == (State.BORDERLINE, None, None)
    assert "close" in turned.artist.lower()
    assert finding(rule, small(gap_mm=pm(3, 0.5))).state is State.MET
    assert finding(rule, small(gap_mm=pm(9, 0.5))).state is State.UNMET


def test_a_value_without_a_limit_has_no_probability() -> None:
    found = finding(returning_of(lambda gap: Check(gap < 6, gap, unit="mm")), small(gap_mm=pm(5.9, 0.5)))
    assert (found.state, found.probability) == (State.BORDERLINE, None)


def test_a_limit_that_comes_and_goes_is_compared_plainly() -> None:
    rule = returning_of(lambda gap: at_most(gap, 6.0, unit="mm") if gap < 6 else holds(False))
    assert finding(rule, small(gap_mm=pm(5.9, 0.5))).state is State.BORDERLINE
    assert finding(rule, small(gap_mm=pm(3, 0.5))).state is State.MET


def test_a_limit_that_moves_with_the_fact_counts_in_the_margin() -> None:
    """Value x, limit 2x: the margin is x and spreads by u, though the limit alone spreads by 2u."""
    found = finding(returning_of(lambda gap: at_most(gap, 2 * gap - 5, unit="mm")), small(gap_mm=pm(6.4, 1)))
    assert found.probability == pytest.approx(0.919243, abs=1e-4)


def test_uncertain_facts_that_the_rule_does_not_read_change_nothing() -> None:
    found = finding(volts, small(gap_mm=3, other_mm="5 ± 1"))
    assert (found.state, found.probability, found.standard_uncertainty) == (State.MET, None, None)


def test_an_exact_fact_beside_an_unneeded_uncertain_one_is_judged_plainly() -> None:
    @small_rule("flat")
    def rule(one: float = fact("small.gap_mm"), two: float = fact("small.other_mm")) -> Check:
        """Is the first small?"""
        return at_most(one, 6.0, unit="mm")

    found = finding(rule, small(gap_mm=6, other_mm="5 ± 1"))
    assert (found.state, found.probability) == (State.MET, None)


def test_one_sided_certainty_in_a_two_sided_limit() -> None:
    """Lower limit spreads with the fact, upper one does not: both must still be kept."""
    base, up, down = (Check(True, 5.0, 4.0 + d, 6.0, "mm") for d in (0.0, 0.5, -0.5))
    state, u, probability = judge(base, [(up, down, 1.0)], Guard())
    assert (state, u) == (State.MET, 0.0)
    assert probability == pytest.approx(normal_cdf(2.0))
    broken = [Check(False, 7.0, 4.0 + d, 6.0, "mm") for d in (0.0, 0.5, -0.5)]
    assert judge(broken[0], [(broken[1], broken[2], 1.0)], Guard())[0] is State.UNMET


def test_moving_into_nonsense_is_an_error_and_not_a_pass() -> None:
    found = finding(returning_of(lambda gap: at_most(math.sqrt(5 - gap), 9.0, unit="mm")), small(gap_mm="4.9 ± 1"))
    assert found.state is State.ERROR


def test_uncertainty_reaches_the_tried_answers() -> None:
    @small_rule("tried")
    def rule(gap: float = fact("small.gap_mm"), keyed: bool = fact("small.keyed", try_each=True)) -> Check:
        """Is it so?"""
        return at_most(gap, 6.0 if keyed else 4.0, unit="mm")

    assert evaluate(evaluator(rule), small(gap_mm=pm(5, 0.1))).works[0].findings[0].state is State.UNKNOWN
    assert finding(rule, small(gap_mm=pm(3, 0.1))).state is State.MET


@small_rule("grave-when-wide", effect=[Effect.PREPARE, Effect.REFUSE])
def grave_when_wide(gap: float = fact("small.gap_mm")) -> Check:
    """Is it below 6?"""
    return at_most(gap, 6.0, unit="mm", effect=Effect.PREPARE if gap < 6.5 else Effect.REFUSE)


@pytest.mark.parametrize(
    ("text", "outcome", "at_worst"),
    [
        ("6 ± 1", Outcome.READY, Outcome.REFUSE),  # moved up by 0.577 it is 6.577, which is refused
        ("6 ± 0.5", Outcome.READY, Outcome.PREPARE),  # moved up by 0.289 it stays below 6.5
        ("6.4 ± 0.3", Outcome.PREPARE, Outcome.REFUSE),  # unmet for certain, its effect is not
        ("6.4", Outcome.PREPARE, Outcome.PREPARE),
        ("5 ± 0.1", Outcome.READY, Outcome.READY),
    ],
)
def test_an_effect_that_hangs_on_the_uncertain_fact_counts_at_its_worst(text: str, outcome: Outcome, at_worst: Outcome) -> None:
    answer = evaluate(evaluator(grave_when_wide), small(gap_mm=text)).works[0]
    assert (answer.outcome, answer.at_worst) == (outcome, at_worst)


@small_rule("needs-more-above-6")
def needs_more_above_6(gap: float = fact("small.gap_mm"), other: float | None = fact("small.other_mm", optional=True)) -> Check | Undecided:
    """Is it fine?"""
    if gap > 6 and other is None:
        return Undecided(("small.other_mm",))
    return holds(gap <= 6 or other == 1.0)


def test_a_fact_that_is_needed_only_within_the_uncertainty_is_asked_for() -> None:
    found = finding(needs_more_above_6, small(gap_mm="5.9 ± 0.5"))
    assert (found.state, found.missing) == (State.UNKNOWN, ("/small/other_mm",))
    assert finding(needs_more_above_6, small(gap_mm="5 ± 0.5")).state is State.MET
    assert finding(needs_more_above_6, small(gap_mm="5.9 ± 0.5", other_mm=1)).state is State.MET


def test_a_fact_taken_as_given_does_not_spread_its_uncertainty() -> None:
    @small_rule("sorted")
    def rule(gap: float = fact("small.gap_mm", as_given=True), other: float = fact("small.other_mm")) -> Check:
        """Is it small?"""
        return at_most(gap + other, 7, unit="mm")

    found = finding(rule, small(gap_mm="6 ± 5", other_mm=1))
    assert (found.state, found.probability, found.standard_uncertainty) == (State.MET, None, None)
    assert found.facts == {"/small/gap_mm": 6.0, "/small/other_mm": 1.0}
    assert finding(rule, small(gap_mm="6 ± 5", other_mm="1 ± 1")).standard_uncertainty == pytest.approx(1 / SQRT3, rel=1e-6)
