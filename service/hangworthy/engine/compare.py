"""Comparison: what changed between two evaluations, fact by fact and finding by finding. Pure: plain JSON values in, changes out.

It works on what was sent and answered as JSON, not on the types of today: an answer that was given a year ago, by other packs, is
compared all the same.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeVar

import msgspec

from hangworthy.engine.changes import (
    Cause,
    Change,
    EvaluationChange,
    FactChange,
    FindingChange,
    FindingState,
    LimitChange,
    PackChange,
    QuestionChange,
    QuestionState,
    Result,
    WorkChange,
)

Json = Mapping[str, Any]
# msgspec works out what it has to know of a type when it first meets it. That must happen here, on one thread: comparisons run on
# several, and two that meet a new type at once can crash the process.
_MET = msgspec.json.Decoder(FindingState), msgspec.json.Decoder(Result)
_K = TypeVar("_K", str, tuple[str, str, int])
_V = TypeVar("_V")


def compare(before: tuple[Json, Json], after: tuple[Json, Json]) -> EvaluationChange:
    """Return what changed between two evaluations, each the decoded request and its decoded answer."""
    works = tuple(_works(_by_ref(before), _by_ref(after)))
    one, other = before[1], after[1]
    packs = tuple(PackChange(*row) for row in _pairs(_packs(one), _packs(other), ""))
    return EvaluationChange(
        works, packs, _unless_same(one["stage"], other["stage"]), _unless_same(_venue(one["venue"]), _venue(other["venue"]))
    )  # fmt: skip


def causes(changed: EvaluationChange) -> tuple[Cause, ...]:
    """Return the rules that decided otherwise, each with the limits that it used otherwise."""
    packs = {pack.name: pack for pack in changed.packs}
    return tuple(
        Cause(work.ref, one.rule, one.by, _said(one.before), _said(one.after), one.limits, packs.get(one.rule.partition(".")[0]))
        for work in changed.works
        for one in work.findings
        if one.decides
    )


def compare_facts(before: Json, after: Json) -> tuple[FactChange, ...]:
    """Return the facts that two works as sent do not share."""
    return tuple(FactChange(*row) for row in _pairs(facts_of(before), facts_of(after)))


def compare_findings(before: Sequence[Json], after: Sequence[Json]) -> tuple[FindingChange, ...]:
    """Return the findings that differ in what is compared."""
    return tuple(_finding(*row) for row in _pairs(findings_of(before), findings_of(after)))


def compare_questions(before: Sequence[Json], after: Sequence[Json]) -> tuple[QuestionChange, ...]:
    """Return the questions that are asked on one side only, or would settle something else."""
    return tuple(QuestionChange(*row) for row in _pairs(questions_of(before), questions_of(after)))


def facts_of(work: Json, path: str = "") -> dict[str, Any]:
    """Return the facts of a work as sent, by pointer. Null is not known, like an absent fact; a list is one fact."""
    found: dict[str, Any] = {}
    for name, value in work.items():
        pointer = f"{path}/{name.replace('~', '~0').replace('/', '~1')}"
        if isinstance(value, Mapping):
            found |= facts_of(value, pointer)
        elif value is not None:
            found[pointer] = value
    return found


def findings_of(findings: Sequence[Json]) -> dict[tuple[str, str, int], FindingState]:
    """Return what is compared of findings, by rule, way of measuring and number."""
    found: dict[tuple[str, str, int], FindingState] = {}
    for one in findings:
        number = 0
        while (key := (str(one["rule"]), str(one.get("by", "")), number)) in found:
            number += 1
        state = msgspec.convert(one, FindingState)
        found[key] = msgspec.structs.replace(state, limits=tuple(sorted(state.limits, key=lambda limit: limit.name)))
    return found


def questions_of(questions: Sequence[Json]) -> dict[str, QuestionState]:
    """Return what is compared of questions, by the pointer of their fact."""
    return {str(one["fact"]): QuestionState(one["effect"], tuple(sorted(one["settles"]))) for one in questions}


def _pairs(before: Mapping[_K, _V], after: Mapping[_K, _V], none: Any = None) -> Iterator[tuple[_K, Change, Any, Any]]:
    for key in sorted(before.keys() | after.keys()):
        one, other = before.get(key), after.get(key)
        if not same(one, other):
            change: Change = "given" if one is None else "gone" if other is None else "changed"
            yield key, change, none if one is None else one, none if other is None else other


def same(one: Any, other: Any) -> bool:
    """Return whether two JSON values are the same: 1 and 1.0 are, 1 and true are not."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and bool(one == other)


def _works(before: Mapping[str, tuple[Json, Json]], after: Mapping[str, tuple[Json, Json]]) -> Iterator[WorkChange]:
    for ref in sorted(before.keys() | after.keys()):
        (sent, told), (sent_after, told_after) = before.get(ref, _NOTHING), after.get(ref, _NOTHING)
        facts = compare_facts(sent, sent_after)
        findings = compare_findings(told.get("findings", ()), told_after.get("findings", ()))
        questions = compare_questions(told.get("questions", ()), told_after.get("questions", ()))
        one, other = _result(told), _result(told_after)
        if facts or findings or questions or one != other:
            change: Change = "given" if one is None else "gone" if other is None else "changed"
            yield WorkChange(ref, change, one, other, facts, findings, questions)


_NOTHING: tuple[Json, Json] = ({}, {})


def _by_ref(pair: tuple[Json, Json]) -> dict[str, tuple[Json, Json]]:
    sent = {str(work["ref"]): work for work in pair[0]["works"]}
    return {str(work["ref"]): (sent.get(str(work["ref"]), {}), work) for work in pair[1]["works"]}


def _result(told: Json) -> Result | None:
    return msgspec.convert(told, Result) if told else None


def _finding(key: tuple[str, str, int], change: Change, before: FindingState | None, after: FindingState | None) -> FindingChange:
    rule, by, number = key
    if before is None or after is None:
        return FindingChange(rule, change, by, number, (), before, after)
    differs = tuple(name for name in FindingState.__struct_fields__ if getattr(before, name) != getattr(after, name))
    limits = _pairs({one.name: one for one in before.limits}, {one.name: one for one in after.limits})
    return FindingChange(rule, change, by, number, differs, before, after, tuple(LimitChange(*row) for row in limits))


def _packs(answer: Json) -> dict[str, str]:
    return {str(one["name"]): f"{one['version']} {one['fingerprint']}" for one in answer["packs"]}


def _venue(used: Json) -> str:
    return f"{used['name']}, version {used['version']}"


def _unless_same(before: str, after: str) -> tuple[str, ...]:
    return () if before == after else (before, after)


def _said(state: FindingState | None) -> str:
    return "" if state is None else f"{state.state} ({state.effect})"
