"""What people read: the order, the words for each state, and what is left out."""

import io
import re
from typing import Any

import pytest
from msgspec import UNSET

from hangworthy.cli.report import console, show_evaluation, worst_first
from hangworthy.cli.words import words_in
from hangworthy.contract import OWN_POLICY, Effect, Evaluation, Finding, Outcome, Question, Stage, State, VenueUsed, WorkAnswer
from hangworthy.contract.languages import LANGUAGES
from hangworthy.contract.reading import Asked, Contradiction, TextRead, Unread
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue


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
    safe = details.pop("safe_first", UNSET)
    answer = WorkAnswer("a-1", Outcome.REFUSE, Outcome.REFUSE, settled, len(findings), findings, [] if settled else [QUESTION])
    answer.reading, answer.safe_first = details.pop("reading", UNSET), safe
    evaluation = Evaluation(
        Stage.OFFER, VenueUsed("hall", 2, ""), (), Outcome.REFUSE, Outcome.REFUSE, settled, [answer], faults=details.pop("faults", ()),
        language=details.pop("language", None),
    )  # fmt: skip
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


LEADS = {
    "en": "After a conservator or framer has cleared it:",
    "de": "Erst wenn eine Restaurierungs- oder Rahmenwerkstatt es freigegeben hat:",
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_hazard_comes_first_and_all_else_waits_until_the_work_is_cleared(language: str) -> None:
    told = [
        finding("p.another", State.UNMET, Effect.REFUSE),
        finding("p.mould", State.UNMET, Effect.REFUSE),
        finding("p.slack", State.UNMET),
    ]
    text = shown(told, settled=True, language=language, safe_first=("p.mould",))
    places = [text.index(word) for word in ("p.mould", LEADS[language], "p.another", "p.slack")]
    assert places == sorted(places)
    assert LEADS[language] not in shown(told, settled=True, language=language)
    assert LEADS[language] not in shown(told[1:2], settled=True, language=language, safe_first=("p.mould",))


def test_a_way_of_measuring_is_named_in_the_language_or_not_at_all() -> None:
    labelled = [finding("p.slack", State.UNMET, by="belly", by_label="Bauch")]
    assert "(Bauch)" in shown(labelled, language="de")
    assert "belly" not in shown(labelled, language="de")
    assert "by belly" in shown([finding("p.slack", State.UNMET, by="belly")])


def test_a_work_that_no_rule_concerns_was_not_checked_and_says_so() -> None:
    text = shown([finding("p.elsewhere", State.NOT_APPLICABLE)], settled=True)
    assert "Not checked: no rule of this venue concerns a work of this kind" in text
    assert "Still to answer" not in text


OPEN = TextRead(
    (),
    (Asked(("/kind",), "“x”: Which?", "r", "medium", (0, 1), "x", ("a", "b"), ("Aa", "b")),),
    unread=(Unread("dimensions", (0, 1), "y"), Unread("dimensions", (2, 3), "z")),
    contradictions=(Contradiction("/width_mm", 1.0, 2.0, "Not so."),),
)
WHOLE = {
    "en": """\
a-1  A title  refuse, not settled
  State and rule  What we found     What to do
  ─────────────────────────────────────────────
  refuse          About p.worst.
  p.worst
  by eye
  repair          About p.bad.      Mend it.
  p.bad
  error           About p.failed.
  (up to repair)
  p.failed
  borderline      About p.close.
  (up to repair)
  p.close
  unknown         About p.waiting.
  (up to repair)
  p.waiting
  advise          About p.advised.
  p.advised
  Still to answer, most telling first:
   1 How wide is it? [mm] (for the coordinator) this, that.
     Use a tape.
     → /width_mm: p.open, up to repair
  Not so.
  ? “x”: Which? Either a (Aa), or b.
  Not understood: y, z.
  In order: p.met
  Later: p.later (arrival)
  Caution: Mind the glass.

1 work at the stage offer: 1 refuse. Together: refuse, not settled.
Venue hall, version 2.
A rule pack is left out, so nothing is settled: import-error: pack q

""",
    "de": """\
a-1  A title  refuse, noch nicht entschieden
  Stand und Regel  Was uns auffiel   Was zu tun ist
  ──────────────────────────────────────────────────
  refuse           About p.worst.
  p.worst
  repair           About p.bad.      Mend it.
  p.bad
  error            About p.failed.
  (bis zu repair)
  p.failed
  borderline       About p.close.
  (bis zu repair)
  p.close
  unknown          About p.waiting.
  (bis zu repair)
  p.waiting
  advise           About p.advised.
  p.advised
  Noch zu beantworten, das Wichtigste zuerst:
   1 How wide is it? [mm] (für die Koordination) this, that.
     Use a tape.
     → /width_mm: p.open, bis zu repair
  Not so.
  ? “x”: Which? Entweder a (Aa) oder b.
  Nicht verstanden: y, z.
  In Ordnung: p.met
  Später: p.later (arrival)
  Vorsicht: Mind the glass.

1 Werk im Abschnitt offer: 1 refuse. Zusammen: refuse, noch nicht entschieden.
Ort hall, Version 2.
Ein Regelpaket fehlt, darum ist nichts entschieden: import-error: pack q

""",
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_words_around_an_answer_are_in_its_language(language: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each to the byte. What findings and questions say is theirs; here they stay as they were made up."""
    monkeypatch.delenv("COLUMNS", raising=False)
    told = None if language == "en" else language
    assert shown(FINDINGS, faults=("import-error: pack q",), reading=OPEN, language=told) == WHOLE[language]


def test_a_work_that_was_not_checked_says_so_in_german_and_many_findings_are_counted() -> None:
    text = shown([finding("p.elsewhere", State.NOT_APPLICABLE)], settled=True, language="de")
    assert "Nicht geprüft: Keine Regel dieses Ortes betrifft ein Werk dieser Art\n" in text
    later = [finding(f"p.later-{place}", State.UNKNOWN, due=Stage.ARRIVAL, missing=("/depth_mm",)) for place in range(9)]
    assert "Später: 9 bei arrival\n" in shown(later, settled=True, language="de")
    assert "Later: 9 at arrival\n" in shown(later, settled=True)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_unit_is_shown_in_words_or_as_a_sign_that_people_know(language: str) -> None:
    """Of every fact there is: no sign of ours such as “d” or “m2” stands in a sentence."""
    units = {slot.unit for slot in build_catalogue(*discover()).schema.slots if slot.unit}
    shown = {unit: words_in(language)(f"unit.{unit}") for unit in units}
    assert {unit for unit, text in shown.items() if text == unit} <= {"mm", "cm", "m", "kg", "g", "%", "°C", "K", "N", "N/m", "Hz", "µW/lm"}
    assert not [text for text in shown.values() if re.search(r"[23]", text)]
    assert (shown["d"], shown["m2"]) == ({"en": "days", "de": "Tage"}[language], "m²")


def test_every_language_has_the_same_words_with_the_same_places() -> None:
    english, *others = (words_in(language).table for language in LANGUAGES)
    for other in others:
        assert english.keys() == other.keys()
        assert english["unit"].keys() == other["unit"].keys()
        assert english["template"].keys() == other["template"].keys()
        both = {key: (text, other[key]) for key, text in english.items() if isinstance(text, str)}
        both |= {key: (text, other["template"][key]) for key, text in english["template"].items()}
        for key, (text, others_text) in both.items():  # not the units: signs among them are the same in both
            assert set(re.findall(r"\{\w+\}", text)) == set(re.findall(r"\{\w+\}", others_text)), key
            assert text != others_text, key
