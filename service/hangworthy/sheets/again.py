"""The place where a stored evaluation meets the packs of today: for its drawings, and for its sentences in another language.

Figures, states and outcomes are always those that were stored. What is asked again only lends its words, and only where it says the same:
where the finding of a rule has the same state and the same figure. Everything else keeps the sentence that was stored.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract.finding import Evaluation, Finding, Question, WorkAnswer
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LanguageCode
from hangworthy.contract.reading import Contradiction, TextRead
from hangworthy.contract.rule import Rule
from hangworthy.engine.drawings import Drawn, draw
from hangworthy.engine.evaluate import Evaluator
from hangworthy.sheets.content import RuleNotes, Told

_LENT = ("question", "artist", "coordinator", "remedy", "cautions", "by_label")


class Again(msgspec.Struct, frozen=True):
    """A stored request asked again: the evaluator of its venue, in the language wanted, the works as it reads them, and what it answers."""

    evaluator: Evaluator
    works: Sequence[Any]
    answer: Evaluation


def told(answer: Evaluation, sent: Sequence[Mapping[str, Any]], again: Again | None, language: LanguageCode) -> Told:
    """Return all that sheets are made of. Without ``again`` (today's packs cannot read the request) there are no drawings."""
    given = {str(work.get("ref")): work for work in sent}
    works = {work.ref: _known_of(work, given.get(work.ref, {})) for work in answer.works}
    refs = frozenset(work.ref for work in answer.works)
    if again is None:
        return Told(answer, works, changed=refs)
    fresh = {work.ref: work for work in again.answer.works}
    ruleset = again.evaluator.ruleset
    drawings = _drawings(again)
    drawn = {work.ref: _same(work, fresh.get(work.ref), drawings.get(work.ref, ())) for work in answer.works}
    changed = frozenset(ref for ref, kept in drawn.items() if len(kept) < len(drawings.get(ref, ())))
    wordings = ruleset.language.wordings
    rules = {
        (entry.code, entry.rule.by): _notes(entry.rule, wordings[entry.code, entry.rule.by].words.measure)
        for entry in ruleset.catalogue.entries
    }
    worded = answer if language == stored_language(answer) else _in_language(answer, fresh)
    return Told(
        worded, works, ruleset.venue.title, rules, {slot.pointer: slot for slot in ruleset.language.slots},
        ruleset.language.labels, drawn, changed,
    )  # fmt: skip


def _notes(rule: Rule, measure: str) -> RuleNotes:
    return RuleNotes(measure, rule.step, rule.tools, rule.done_by_us)


def _known_of(work: WorkAnswer, given: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what was sent of a work, and what counted from its free text where nothing was."""
    if work.reading is msgspec.UNSET:
        return given
    read = {fact.fact.removeprefix("/"): fact.value for fact in work.reading.facts if fact.fact in work.reading.used}
    return {**read, **{name: value for name, value in given.items() if value is not None}}


def stored_language(answer: Evaluation) -> str:
    """Return the language in which an evaluation was answered."""
    return answer.language or DEFAULT_LANGUAGE


def _drawings(again: Again) -> dict[str, Sequence[Drawn]]:
    found = draw(again.evaluator.ruleset, again.evaluator.read(again.works))
    return {work.ref: drawn for work, drawn in zip(again.works, found, strict=True)}


def _key(finding: Finding) -> tuple[Any, ...]:
    return finding.rule, finding.by, finding.state, finding.measured


def _same(stored: WorkAnswer, fresh: WorkAnswer | None, drawn: Sequence[Drawn]) -> tuple[Drawn, ...]:
    """Return the drawings that show findings which are answered today as they were then."""
    if fresh is None:
        return ()
    differ = {one[0] for one in {*map(_key, stored.findings)} ^ {*map(_key, fresh.findings)}}
    return tuple(one for one in drawn if differ.isdisjoint(one.of))


def _in_language(answer: Evaluation, fresh: Mapping[str, WorkAnswer]) -> Evaluation:
    works = [_lent(work, fresh[work.ref]) if work.ref in fresh else work for work in answer.works]
    return msgspec.structs.replace(answer, works=works)


def _lent(stored: WorkAnswer, fresh: WorkAnswer) -> WorkAnswer:
    found = {_key(one): one for one in fresh.findings}
    findings = [_worded(one, found.get(_key(one))) for one in stored.findings]
    asked = {one.fact: one for one in fresh.questions}
    questions = [_asked(one, asked.get(one.fact)) for one in stored.questions]
    reading = stored.reading
    if reading is not msgspec.UNSET and fresh.reading is not msgspec.UNSET:
        reading = _read(reading, fresh.reading)
    # As the stored ones, which came back from the store: the same days, in today's words.
    counted = fresh.counted if _days(stored) == _days(fresh) else stored.counted
    return msgspec.structs.replace(stored, findings=findings, questions=questions, reading=reading, counted=counted)


def _days(work: WorkAnswer) -> list[tuple[str, float]]:
    return [] if work.counted is msgspec.UNSET else [(one.fact, one.value) for one in work.counted]


def _read(stored: TextRead, fresh: TextRead) -> TextRead:
    """Return a reading whose questions and contradictions are worded as today, where they are the same."""
    asks = {(one.facts, one.rule, one.source, one.span): one for one in fresh.asks}
    against = {_values(one): one for one in fresh.contradictions}
    return msgspec.structs.replace(
        stored,
        asks=tuple(asks.get((one.facts, one.rule, one.source, one.span), one) for one in stored.asks),
        contradictions=tuple(against.get(_values(one), one) for one in stored.contradictions),
    )


def _values(one: Contradiction) -> bytes:
    """Return what contradicts what; a pair of sizes comes back from the store as a list."""
    return msgspec.json.encode((one.fact, one.given, one.read))


def _worded(stored: Finding, fresh: Finding | None) -> Finding:
    return stored if fresh is None else msgspec.structs.replace(stored, **{name: getattr(fresh, name) for name in _LENT})


def _asked(stored: Question, fresh: Question | None) -> Question:
    if fresh is None:
        return stored
    labels = fresh.labels if fresh.choices == stored.choices else stored.labels
    return msgspec.structs.replace(stored, title=fresh.title, prompt=fresh.prompt, how=fresh.how, labels=labels)
