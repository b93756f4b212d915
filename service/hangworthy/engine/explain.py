"""Explaining: a verdict becomes a finding, in numbers and in sentences for the artist and for the coordinator."""

from collections.abc import Mapping
from typing import Any

from hangworthy.contract.check import Check
from hangworthy.contract.effect import Stage, State
from hangworthy.contract.finding import Finding
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.schema import Slot
from hangworthy.engine.told import as_shown
from hangworthy.engine.verdict import Verdict, failed
from hangworthy.engine.voice import tidy

_LARGEST_SHARE = 1e9  # beyond it the share says nothing, and the division may overflow
_MET, _UNMET = State.MET, State.UNMET
_NUMBERED = (State.MET, State.UNMET, State.BORDERLINE)


def share_used(check: Check) -> float | None:
    """Return the part of a one-sided limit that is used: 1.0 at the limit, above it when it is not kept."""
    value, low, high = check.value, check.low, check.high
    if value is None or (low is None) == (high is None):
        return None
    part, whole = (value, high) if high is not None else (low or 0.0, value)
    if whole <= 0 or part < 0 or part > whole * _LARGEST_SHARE:
        return None
    return round(part / whole, 6)


def explain(
    bound: BoundRule,
    verdict: Verdict,
    values: list[Any],
    slots: Mapping[str, Slot],
    stage: Stage,
    instead: tuple[tuple[str, ...], ...] = (),
) -> Finding:
    """Return the finding of a verdict. A sentence that cannot be filled makes the finding an error, not the evaluation."""
    if verdict.state in _NUMBERED:
        try:
            return _numbered(bound, verdict, values)
        except Exception as error:  # noqa: BLE001 - the sentence is the pack's; a wrong name in it must not fail the request
            verdict = failed(bound, error)
    finding, voice = _plain(bound, verdict), bound.voice
    finding.facts = facts_read(bound, values)
    if verdict.state is State.UNKNOWN:
        _unknown(finding, bound, verdict, slots, stage, instead)
    elif verdict.state is State.ERROR:
        finding.artist, finding.coordinator = voice.error_artist, voice.bench_error(bound.measure, verdict.why)
    else:
        finding.artist, finding.coordinator = voice.not_applicable_artist, voice.not_applicable_bench
    return finding


def facts_read(bound: BoundRule, values: list[Any], whole: bool = False) -> dict[str, Any]:
    """Return the facts that the rule read, by pointer (``whole``: none of them is missing); what a venue lists is shown by name."""
    read = bound.take(values)
    if (whole or None not in read) and not bound.reads_lists:
        return dict(zip(bound.pointers, read, strict=True))
    return {
        pointer: as_shown(slot, value) for pointer, value, slot in zip(bound.pointers, read, bound.slots, strict=True) if value is not None
    }


def _plain(bound: BoundRule, verdict: Verdict) -> Finding:
    return Finding(
        bound.code, verdict.state, verdict.effect, bound.pack, bound.pack_version, bound.question, "", "", bound.source, bound.by,
        limits=bound.limits_used, by_label=bound.by_label,
    )  # fmt: skip


def _numbered(bound: BoundRule, verdict: Verdict, values: list[Any]) -> Finding:
    """Return the finding of a rule that was asked: positional, since this is the hot path."""
    check, state, voice = verdict.check, verdict.state, bound.voice
    assert check is not None  # noqa: S101 - a verdict in these states always carries its check
    measured, u, probability = check.value, verdict.u, verdict.probability
    value = "" if measured is None else voice.show(measured, check.unit)
    allowed, limit, low, high = voice.limit_shown(check.low, check.high, check.unit)
    if measured is not None and value in limit and measured != check.low and measured != check.high:  # they may look alike
        value, allowed, limit = voice.apart(check, measured)
    remedy, cautions, template = "", bound.cautions, bound.met
    if state is _MET and not template.names and bound.bench is None:  # half of all findings: a sentence that never changes
        artist, cautions, bench = template.text, (), voice.bench(bound.measure, check.met, value, allowed, probability)
    else:
        named = {"value": value, "limit": limit, **(check.named or {})}
        if state is _MET:
            artist, cautions = template.fill(named), ()
        elif state is _UNMET:
            todo = bound.either if verdict.missing and bound.either else bound.remedies[verdict.effect]
            artist, remedy = bound.unmet.fill(named), todo.fill(named)
        else:
            artist, remedy = voice.borderline(bound.measure, value, allowed, voice.at_limit(check, value)), bound.better
        bench = bound.bench.fill(named) if bound.bench else voice.bench(bound.measure, check.met, value, allowed, probability)
    return Finding(
        bound.code, state, verdict.effect, bound.pack, bound.pack_version, bound.question, artist, bench, bound.source, bound.by,
        verdict.effect_at_worst, None, None if measured is None else tidy(measured), low, high, check.unit, share_used(check),
        None if u is None else tidy(u), None if probability is None else tidy(probability), facts_read(bound, values, bound.whole),
        verdict.missing, (), bound.limits_used, remedy, cautions, (), bound.rule.over_set, bound.by_label,
    )  # fmt: skip


def _unknown(
    finding: Finding,
    bound: BoundRule,
    verdict: Verdict,
    slots: Mapping[str, Slot],
    stage: Stage,
    instead: tuple[tuple[str, ...], ...],
) -> None:
    """Fill in what is missing, who can tell, and how."""
    finding.missing, finding.instead, finding.others = verdict.missing, instead, verdict.others
    measure, voice = bound.measure, bound.voice
    if bound.rule.due.rank > stage.rank:
        finding.due = bound.rule.due
    if verdict.others:
        finding.artist, finding.coordinator = voice.others_artist, voice.bench_others(measure, verdict.others)
        return
    asked = [slots[pointer].ask for pointer in verdict.missing]
    finding.coordinator = voice.bench_unknown(measure, [one.title for one in asked])
    mine = [one for one in asked if one.asked_of == "artist"]
    if finding.due is not None:
        finding.artist = voice.later(finding.due)
    elif mine:
        finding.artist = voice.asked([one.title for one in mine])
        finding.remedy = mine[0].how or mine[0].prompt
    else:
        finding.artist = voice.coordinator_asked
