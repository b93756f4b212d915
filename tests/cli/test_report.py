"""What people read: the order, the words for each state, and what is left out."""

import io
from typing import Any

from hangworthy.cli.report import console, show_evaluation, worst_first
from hangworthy.contract import OWN_POLICY, Effect, Evaluation, Finding, Outcome, Question, Stage, State, VenueUsed, WorkAnswer


def finding(code: str, state: State, effect: Effect = Effect.REPAIR, **details: Any) -> Finding:
    base: dict[str, Any] = {"question": "Is it?", "artist": f"About {code}.", "coordinator": "", "source": OWN_POLICY}
    return Finding(rule=code, state=state, effect=effect, pack="p", pack_version="1", **(base | details))


FINDINGS = [
    finding("p.met", State.MET),
    finding("p.advised", State.UNMET, Effect.ADVISE),
    finding("p.open", State.UNKNOWN, missing=("/width_mm",)),
    finding("p.waiting", State.UNKNOWN, others=("b",)),
    finding("p.failed", State.ERROR),
    finding("p.close", State.BORDERLINE),
    finding("p.bad", State.UNMET, remedy="Mend it.", cautions=("Mind the glass.",)),
    finding("p.worst", State.UNMET, Effect.REFUSE, by="eye", cautions=("Mind the glass.",)),
    finding("p.later", State.UNKNOWN, due=Stage.ARRIVAL, missing=("/depth_mm",)),
    finding("p.elsewhere", State.NOT_APPLICABLE),
]
QUESTION = Question(
    fact="/width_mm",
    title="Width",
    prompt="How wide is it?",
    how="Use a tape.",
    asked_of="coordinator",
    type="number",
    effect=Effect.REPAIR,
    settles=("p.open",),
    unit="mm",
    choices=("this", "that"),
)


def shown(findings: list[Finding], *, settled: bool = False, **details: Any) -> str:
    answer = WorkAnswer("a-1", Outcome.REFUSE, Outcome.REFUSE, settled, len(findings), findings, [] if settled else [QUESTION])
    evaluation = Evaluation(
        Stage.OFFER, VenueUsed("hall", 2, ""), (), Outcome.REFUSE, Outcome.REFUSE, settled, [answer], faults=details.pop("faults", ())
    )
    stream = io.StringIO()
    show_evaluation(console(stream, "never", {}), evaluation, ["A title"], details.pop("heading", ""))
    return stream.getvalue()


def test_the_worst_comes_first_and_what_only_awaits_an_answer_is_left_to_the_questions() -> None:
    order = [one.rule for one in worst_first(reversed(FINDINGS))]
    assert order == ["p.worst", "p.bad", "p.failed", "p.close", "p.waiting", "p.advised"]


def test_everything_is_there_once() -> None:
    text = shown(FINDINGS, faults=("import-error: pack q",), heading="monday.json")
    assert text.startswith("monday.json\na-1  A title  refuse, not settled\n")
    for line in ("In order: p.met", "Later: p.later (arrival)", "Caution: Mind the glass.", "Mend it.", "by eye", "(up to repair)"):
        assert text.count(line) >= 1
    assert text.count("Mind the glass.") == 1
    assert "1 How wide is it? [mm] (for the coordinator) this, that." in text
    assert "→ /width_mm: p.open, up to repair" in text
    assert "1 work at the stage offer: 1 refuse. Together: refuse, not settled." in text
    assert "A rule pack is left out, so nothing is settled: import-error: pack q" in text
    assert "p.elsewhere" not in text


def test_a_work_that_no_rule_concerns_was_not_checked_and_says_so() -> None:
    text = shown([finding("p.elsewhere", State.NOT_APPLICABLE)], settled=True)
    assert "Not checked: no rule of this venue concerns a work of this kind" in text
    assert "Still to answer" not in text
