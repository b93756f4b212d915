"""Days counted from a day that is given, up to the day that the host says: a fact like any other, shown as counted, and nothing guessed."""

from datetime import date
from typing import Any

import pytest
from msgspec import UNSET

from hangworthy.contract import Check, Section, State, WorkFacts, ask, at_most, fact
from hangworthy.contract.effect import Stage
from hangworthy.contract.venue import WallFacts
from hangworthy.engine.compare import compare
from hangworthy.engine.schema import SchemaError, compose
from small_packs import WORDS, decode, evaluator, pack, small_rule

DAY = date(2026, 3, 31)


class WetFacts(Section):
    """What a pack asks of paint."""

    dry_days: float = ask("Days of drying", "How long has it dried?", lo=0, hi=1_000, since="finished_on")


@small_rule("dries", words=WORDS)
def dries(days: float = fact("wet.dry_days")) -> Check:
    """Has it dried for at most thirty days?"""
    return at_most(days, 30, unit="d")


ASKED = evaluator(pack(dries, sections={"wet": WetFacts}))


def told(day: date | None, **work: Any) -> Any:
    asked = ASKED.on(day)
    return asked.evaluate(decode(asked, [work])).works[0]


def test_days_are_counted_up_to_the_day_of_the_evaluation_and_shown() -> None:
    answer = told(DAY, finished_on="2026-03-01")
    (counted,) = answer.counted
    assert (counted.fact, counted.value, counted.unit, counted.since) == ("/wet/dry_days", 30.0, "d", "/finished_on")
    assert (counted.first, counted.day) == (date(2026, 3, 1), DAY)
    assert counted.sentence == "Days of drying: 30 days, counted from 2026-03-01 to 2026-03-31."
    assert answer.findings[0].state is State.MET
    assert answer.questions == []
    assert told(date(2026, 4, 1), finished_on="2026-03-01").findings[0].state is State.UNMET


def test_what_is_given_counts_and_nothing_is_counted_beside_it() -> None:
    answer = told(DAY, finished_on="2026-03-01", wet={"dry_days": "7 weeks"})
    assert answer.counted is UNSET
    assert answer.findings[0].measured == 49.0


@pytest.mark.parametrize(
    ("day", "work"),
    [(None, {"finished_on": "2026-03-01"}), (DAY, {}), (DAY, {"finished_on": "2026-04-02"})],
    ids=["no day is said", "no day is given", "it is still to come"],
)
def test_else_it_is_asked_for(day: date | None, work: dict[str, Any]) -> None:
    answer = told(day, **work)
    assert answer.counted is UNSET
    assert [one.fact for one in answer.questions] == ["/wet/dry_days"]


def test_the_day_itself_is_nought_and_what_is_older_than_can_be_said_is_as_old_as_can_be_said() -> None:
    assert told(DAY, finished_on="2026-03-31").counted[0].value == 0.0
    ancient = told(DAY, finished_on="1901-01-01")
    assert ancient.counted[0].value == 1_000.0
    assert ancient.findings[0].measured == 1_000.0


def test_a_day_that_is_tomorrow_here_may_be_today_where_the_work_is() -> None:
    """The host's day is that of UTC; in the far east the next one has begun."""
    (counted,) = told(DAY, finished_on="2026-04-01").counted
    assert (counted.value, counted.first, counted.day) == (0.0, date(2026, 4, 1), date(2026, 4, 1))
    assert counted.sentence == "Days of drying: 0 days, counted from 2026-04-01 to 2026-04-01."


def test_a_day_still_to_come_is_said_where_the_days_are_asked_for() -> None:
    (asked,) = told(DAY, finished_on="2062-03-01").questions
    assert asked.prompt == "Finished on: 2062-03-01 is still to come. How long has it dried?"
    assert asked.how == "Put the day 2062-03-01 right, or ask again once it has passed."
    (plain,) = told(DAY).questions
    assert (plain.prompt, plain.how) == ("How long has it dried?", "")
    assert told(DAY, finished_on="2062-03-01", wet={"dry_days": 3}).questions == []
    german = ASKED.on(DAY).speaking("de")
    (asked,) = german.evaluate(decode(german, [{"finished_on": "2062-03-01"}])).works[0].questions
    assert asked.prompt == "Fertig seit: 2062-03-01 liegt noch vor uns. How long has it dried?"
    assert asked.how == "Berichtigen Sie den Tag 2062-03-01, oder fragen Sie danach noch einmal."


def test_a_language_counts_on_the_same_day_and_says_so() -> None:
    german = ASKED.on(DAY).speaking("de")
    assert german.evaluate(decode(german, [{"finished_on": "2026-03-01"}])).works[0].counted[0].sentence == (
        "Days of drying: 30 Tage, gezählt von 2026-03-01 bis 2026-03-31."
    )
    assert ASKED.on(None) is ASKED


def test_a_comparison_says_that_time_has_passed() -> None:
    sent = {"works": [{"ref": "w0", "finished_on": "2026-03-01"}]}

    def answered(days: float) -> dict[str, Any]:
        work = {
            "ref": "w0",
            "outcome": "ready",
            "at_worst": "ready",
            "settled": True,
            "counted": [{"fact": "/wet/dry_days", "value": days}],
        }
        return {"stage": "offer", "venue": {"name": "a", "version": 1, "fingerprint": "x"}, "packs": [], "works": [work]}

    (change,) = compare((sent, answered(30.0)), (sent, answered(60.0))).works
    assert [(one.pointer, one.before, one.after) for one in change.facts] == [("/wet/dry_days", 30.0, 60.0)]


def test_a_fact_that_cannot_be_counted_stops_the_start() -> None:
    class Wrong(Section):
        """Counts from what is no day."""

        dry_days: float = ask("Days", "How long?", since="title")

    class Gap(Section):
        """Is no number of days."""

        gap_mm: float = ask("Gap", "How wide?", since="finished_on")

    for section in (Wrong, Gap):
        with pytest.raises(SchemaError, match="counts the days since"):
            compose(WorkFacts, WallFacts, {"wet": [section]}, Stage, 500)
