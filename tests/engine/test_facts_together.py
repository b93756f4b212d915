"""Facts that rules name together, as one parameter: read, asked, moved and shown as if each stood alone."""

from typing import NamedTuple

from hangworthy.contract import Check, State, Undecided, at_most, fact, holds
from small_packs import SmallLimits, evaluate, evaluator, finding, small, small_rule, small_set_rule


class Gaps(NamedTuple):
    """Two gaps, of which the other one may be missing."""

    gap: float = fact("small.gap_mm")
    other: float | None = fact("small.other_mm", optional=True)


class Plain(NamedTuple):
    """No facts, only a default."""

    gap: float = 3.0


@small_rule("sum", uses=["gap_mm"])
def both(limits: SmallLimits, gaps: Gaps, keyed: bool = fact("small.keyed")) -> Check | Undecided:
    """Is the sum small?"""
    if gaps.other is None:
        return Undecided(("small.other_mm",))
    return at_most(gaps.gap + gaps.other, limits.gap_mm if keyed else 1.0, unit="mm")


@small_set_rule("largest")
def largest(gaps: tuple[Gaps, ...], names: tuple[str, ...] = fact("small.note")) -> list[Check]:
    """Is another one larger?"""
    return [holds(one.gap == max(gaps).gap, name=name) for one, name in zip(gaps, names, strict=True)]


def test_each_fact_is_read_and_shown() -> None:
    found = finding(both, small(gap_mm=2, other_mm=3, keyed=True))
    assert (found.state, found.measured, found.at_most) == (State.MET, 5.0, 6.0)
    assert found.facts == {"/small/gap_mm": 2, "/small/other_mm": 3, "/small/keyed": True}
    assert found.question == "Is the sum small?"
    assert finding(both, small(gap_mm=2, other_mm=3, keyed=False)).state is State.UNMET


def test_each_fact_that_is_missing_is_asked_for() -> None:
    assert finding(both, {}).missing == ("/small/gap_mm", "/small/keyed")
    assert finding(both, small(gap_mm=2, keyed=True)).missing == ("/small/other_mm",)


def test_each_fact_is_moved_by_its_uncertainty() -> None:
    found = finding(both, small(gap_mm="3 ± 1", other_mm="3 ± 1", keyed=True))
    assert found.state is State.BORDERLINE
    assert found.standard_uncertainty is not None
    assert abs(found.standard_uncertainty - (2 / 3) ** 0.5) < 1e-6


def test_a_set_rule_gets_them_per_work() -> None:
    answers = evaluate(evaluator(largest), small(gap_mm=2, note="a"), small(gap_mm="5 mm", other_mm=1, note="b")).works
    assert [one.findings[0].state for one in answers] == [State.UNMET, State.MET]


def test_a_tuple_that_names_no_facts_stays_a_fault() -> None:
    @small_rule("plain")
    def plain(gaps: Plain) -> Check:
        """Is it so?"""
        return holds(True)

    assert plain.function(Plain()).met
    assert "gaps" in plain.function.__annotations__
