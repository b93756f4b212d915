"""Set rules: several works of one request asked together."""

from collections import Counter

import pytest

from hangworthy.contract import Check, Effect, Outcome, Stage, State, Undecided, at_most, fact, holds, where
from small_packs import PLAIN, Words, evaluate, evaluator, finding, small, small_set_rule


@small_set_rule("number-is-free", among=["small.edition"])
def number_is_free(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
    """Is its number in the edition taken once only?"""
    count = Counter(numbers)
    return [holds(count[number] == 1) for number in numbers]


@small_set_rule("widths", effect=Effect.PREPARE, words=Words(measure="W", met="ok", unmet="{value}", remedy="-"), uses=["gap_mm"])
def widths_differ(gaps: tuple[float, ...] = fact("small.gap_mm")) -> list[Check]:
    """Is it close to the mean?"""
    mean = sum(gaps) / len(gaps)
    return [at_most(abs(gap - mean), 2.0, unit="mm") for gap in gaps]


def states(one, *works, stage=Stage.OFFER) -> list[State]:
    return [work.findings[0].state for work in evaluate(one, *works, stage=stage).works]


def print_of(edition: str, number: int) -> dict:
    return small(edition=edition, number=number)


def test_a_number_taken_twice_within_the_same_edition() -> None:
    one = evaluator(number_is_free)
    answer = evaluate(one, print_of("sea", 3), print_of("sea", 3), print_of("sea", 4), print_of("moon", 3))
    assert [work.findings[0].state for work in answer.works] == [State.UNMET, State.UNMET, State.MET, State.MET]
    assert (answer.outcome, answer.works[2].outcome) == (Outcome.REFUSE, Outcome.READY)
    assert answer.works[0].findings[0].facts == {"/small/number": 3}


def test_a_single_work_is_a_set_of_one() -> None:
    assert states(evaluator(number_is_free), print_of("sea", 3)) == [State.MET]


def test_a_work_that_lacks_a_fact_is_unknown_and_met_ones_beside_it_wait() -> None:
    one = evaluator(number_is_free)
    answer = evaluate(one, print_of("sea", 3), small(edition="sea"), print_of("moon", 1), print_of("sea", 9), print_of("sea", 9))
    found = [work.findings[0] for work in answer.works]
    assert [one.state for one in found] == [State.UNKNOWN, State.UNKNOWN, State.MET, State.UNMET, State.UNMET]
    assert (found[0].others, found[0].missing) == (("w1",), ())
    assert (found[1].others, found[1].missing) == ((), ("/small/number",))
    assert "w1" in found[0].coordinator
    assert answer.works[0].questions == []
    assert [question.fact for question in answer.works[1].questions] == ["/small/number"]
    assert not answer.works[0].settled


def test_a_work_of_an_unknown_group_could_be_of_any() -> None:
    one = evaluator(number_is_free)
    answer = evaluate(one, print_of("sea", 3), print_of("moon", 3), small(number=3))
    found = [work.findings[0] for work in answer.works]
    assert [one.state for one in found] == [State.UNKNOWN] * 3
    assert found[2].missing == ("/small/edition",)
    assert found[0].others == found[1].others == ("w2",)


def test_works_that_it_does_not_concern_are_left_out() -> None:
    @small_set_rule("reds", applies=[where("small.hue", "red")])
    def rule(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
        """Is it the only red one?"""
        return [holds(len(numbers) == 1) for _ in numbers]

    one = evaluator(rule)
    works = [small(hue="red", number=1), small(hue="blue", number=1)]
    assert states(one, *works) == [State.MET, State.NOT_APPLICABLE]
    assert states(one, *works, small(number=2)) == [State.UNKNOWN, State.NOT_APPLICABLE, State.UNKNOWN]


def test_the_order_of_works_cannot_matter() -> None:
    @small_set_rule("first")
    def rule(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
        """Is it first of its set?"""
        return [holds(place == 0) for place, _ in enumerate(numbers)]

    one = evaluator(rule)
    works = [{"ref": ref} | small(number=1) for ref in ("b", "a", "c")]
    forward = {work.ref: work.findings[0].state for work in evaluate(one, *works).works}
    backward = {work.ref: work.findings[0].state for work in evaluate(one, *reversed(works)).works}
    assert forward == backward == {"a": State.MET, "b": State.UNMET, "c": State.UNMET}


def test_uncertain_facts_of_one_work_spread_to_all() -> None:
    """Of two, each is half the difference off: u is half of the one measurement's, for both."""
    one = evaluator(widths_differ)
    answer = evaluate(one, small(gap_mm=10), small(gap_mm="14 ± 1.7320508"))
    for work in answer.works:
        found = work.findings[0]
        assert (found.state, found.measured) == (State.BORDERLINE, 2.0)
        assert found.standard_uncertainty == pytest.approx(0.5, rel=1e-5)
        assert found.probability == pytest.approx(0.5, abs=1e-6)
    assert states(one, small(gap_mm=10), small(gap_mm="11 ± 1")) == [State.MET, State.MET]


def test_uncertain_facts_elsewhere_change_nothing() -> None:
    found = finding(evaluator(widths_differ), small(gap_mm=10, other_mm="1 ± 0.5"))
    assert (found.state, found.probability) == (State.MET, None)


def test_a_fact_named_twice_in_a_set_moves_in_both_places() -> None:
    @small_set_rule("same")
    def rule(one: tuple[float, ...] = fact("small.gap_mm"), two: tuple[float, ...] = fact("small.gap_mm")) -> list[Check]:
        """Is the difference nothing?"""
        return [at_most(a - b, 0.1, unit="mm") for a, b in zip(one, two, strict=True)]

    assert states(evaluator(rule), small(gap_mm="6 ± 1")) == [State.MET]


def test_optional_facts_arrive_as_none() -> None:
    @small_set_rule("optional")
    def rule(
        numbers: tuple[int, ...] = fact("small.number"), notes: tuple[str | None, ...] = fact("small.note", optional=True)
    ) -> list[Check]:
        """Has it no note?"""
        return [holds(note is None) for note in notes]

    assert states(evaluator(rule), small(number=1), small(number=2, note="x")) == [State.MET, State.UNMET]


def test_a_work_that_the_rule_cannot_tell_of_is_unknown() -> None:
    @small_set_rule("undecided")
    def rule(
        numbers: tuple[int, ...] = fact("small.number"), notes: tuple[str | None, ...] = fact("small.note", optional=True)
    ) -> list[Check | Undecided]:
        """Has it a note?"""
        return [Undecided(("small.note",)) if note is None else holds(True) for note in notes]

    found = evaluate(evaluator(rule), small(number=1, note="x"), small(number=2)).works
    assert [work.findings[0].state for work in found] == [State.MET, State.UNKNOWN]
    assert found[1].findings[0].missing == ("/small/note",)


def test_a_work_that_is_undecided_within_its_uncertainty_is_unknown() -> None:
    @small_set_rule("close")
    def rule(
        gaps: tuple[float, ...] = fact("small.gap_mm"), notes: tuple[str | None, ...] = fact("small.note", optional=True)
    ) -> list[Check | Undecided]:
        """Is it small?"""
        open_answer = Undecided(("small.note",))
        return [open_answer if gap > 6 and note is None else at_most(gap, 9, unit="mm") for gap, note in zip(gaps, notes, strict=True)]

    assert states(evaluator(rule), small(gap_mm="6 ± 1"), small(gap_mm=6), small(gap_mm=5)) == [State.UNKNOWN, State.MET, State.MET]


def test_before_its_stage_it_is_not_counted() -> None:
    @small_set_rule("later", due=Stage.HANGING)
    def rule(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
        """Is it so?"""
        return [holds(True) for _ in numbers]

    answer = evaluate(evaluator(rule), small(number=1), {}).works
    assert [work.settled for work in answer] == [True, True]
    assert [work.findings[0].due for work in answer] == [Stage.HANGING, Stage.HANGING]


@pytest.mark.parametrize(
    "answer",
    [
        None,
        [],
        [None],
        [holds(True)] * 3,
        [holds(True), True],
        [holds(True, effect=Effect.ADVISE)] * 2,
        [at_most(float("nan"), 1, unit="")] * 2,
    ],
    ids=["None", "none", "of None", "too many", "not all checks", "undeclared effect", "NaN"],
)
def test_a_bad_answer_is_an_error_of_the_group(answer) -> None:
    @small_set_rule("bad")
    def rule(numbers: tuple[int, ...] = fact("small.number")) -> list[Check]:
        """Is it so?"""
        return answer

    assert states(evaluator(rule, number_is_free), small(number=1, edition="a"), small(number=2, edition="a")) == [State.ERROR] * 2


def test_single_and_set_rules_are_listed_by_code() -> None:
    answer = evaluate(evaluator(widths_differ, number_is_free), {}).works[0]
    assert [found.rule for found in answer.findings] == ["small.number-is-free", "small.widths"]
    assert PLAIN.remedy


def test_a_fact_taken_as_given_asks_a_set_once_however_many_works_are_uncertain() -> None:
    calls = []

    @small_set_rule("sorted")
    def rule(gaps: tuple[float, ...] = fact("small.gap_mm", as_given=True)) -> list[Check]:
        """Is it small?"""
        calls.append(gaps)
        return [at_most(gap, 9, unit="mm") for gap in gaps]

    assert states(evaluator(rule), small(gap_mm="6 ± 5"), small(gap_mm="8 ± 5"), small(gap_mm="10 ± 5")) == [
        State.MET,
        State.MET,
        State.UNMET,
    ]
    assert calls == [(6.0, 8.0, 10.0)]


def test_a_rule_that_can_only_tell_once_another_work_is_known_names_it() -> None:
    @small_set_rule("room-beside")
    def room_beside(
        refs: tuple[str, ...] = fact("ref"), gaps: tuple[float | None, ...] = fact("small.gap_mm", optional=True)
    ) -> list[Check | Undecided]:
        """Do all of them fit?"""
        lacking = tuple(ref for ref, gap in zip(refs, gaps, strict=True) if gap is None)
        return [
            Undecided(("small.gap_mm",)) if gap is None else Undecided(others=lacking) if lacking else holds(sum(gaps) < 9) for gap in gaps
        ]

    answer = evaluate(evaluator(room_beside), small(gap_mm=3), {}, small(gap_mm="4 ± 1"))
    found = [work.findings[0] for work in answer.works]
    assert [(one.state, one.missing, one.others) for one in found] == [
        (State.UNKNOWN, (), ("w1",)),
        (State.UNKNOWN, ("/small/gap_mm",), ()),
        (State.UNKNOWN, (), ("w1",)),
    ]
    assert [question.fact for question in answer.works[0].questions] == []
    assert states(evaluator(room_beside), small(gap_mm=3), small(gap_mm=4)) == [State.MET, State.MET]


def test_undecided_about_nothing_is_an_error() -> None:
    @small_set_rule("nothing")
    def nothing(gaps: tuple[float, ...] = fact("small.gap_mm")) -> list[Undecided]:
        """Is it so?"""
        return [Undecided() for _ in gaps]

    assert states(evaluator(nothing), small(gap_mm=3)) == [State.ERROR]
