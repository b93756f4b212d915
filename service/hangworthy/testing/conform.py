"""Conformance: everything that a pack must keep, checked in one call that lists all that is wrong."""

import time
from pathlib import Path

import msgspec

from hangworthy.contract import Evaluation, Finding, Rule, RulePack, State
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.fault import PackFaults
from hangworthy.rows import RowError
from hangworthy.testing.cases import KINDS, Case, CaseError, cases_of
from hangworthy.testing.drawings import drawing_faults
from hangworthy.testing.published import check_rows
from hangworthy.testing.runner import evaluate_case, wrong_with
from hangworthy.testing.texts import faults_in, other_languages
from hangworthy.testing.wording import faults_of, sentences_of

SLOWEST_SECONDS = 1.0
_ANSWERED = frozenset((State.MET, State.UNMET, State.BORDERLINE))


def conform(pack: RulePack, *, files: Path | None = None) -> None:
    """Hold a pack to the contract. Raises AssertionError listing everything that is wrong.

    The pack is composed alone; every rule has cases of each kind and every case gives what it expects; every sentence renders, is short
    enough and says what to do, in every language that the pack has texts in; answers serialise; no rule is slow; every drawing is drawn
    by some case and fails for none; the published rows hold.
    ``files`` is the folder of the pack, where its fingerprint is to be proved as well.
    """
    wrong = _composed(pack, files)
    if not wrong:
        wrong = _cases(pack) + _remedies(pack)
        wrong += [text for language in other_languages(pack) for text in faults_in(pack, language)]
    wrong += _rows(pack)
    if wrong:
        raise AssertionError(f"pack {pack.name} {pack.version} has {len(wrong)} faults:\n" + "\n".join(f"- {text}" for text in wrong))


def _rows(pack: RulePack) -> list[str]:
    try:
        return [result.text for result in check_rows(pack) if not result.holds]
    except RowError as error:
        return [str(error)]


def _composed(pack: RulePack, files: Path | None) -> list[str]:
    if files is not None and not files.exists():
        return [f"its files are not at {files}"]
    try:
        found = installed_pack(pack, files=files)
        build_catalogue([found])
    except PackFaults as error:
        return [str(fault) for fault in error.faults]
    except OSError as error:
        return [f"its files cannot be read: {error}"]
    again = installed_pack(pack, files=files).fingerprint
    return [] if found.fingerprint == again else ["its fingerprint differs from one reading to the next"]


def _cases(pack: RulePack) -> list[str]:
    try:
        cases = cases_of(pack)
    except CaseError as error:
        return [str(error)]
    wrong = _kinds(pack, cases)
    answered: set[tuple[str, str]] = set()
    for case in cases:
        started = time.thread_time()  # of this thread alone: a busy machine is not the rule's fault
        differs = wrong_with(pack, case)
        seconds = time.thread_time() - started
        wrong += [f"{pack.name}.{case}: {text}" for text in differs]
        if seconds > SLOWEST_SECONDS:
            wrong.append(f"{pack.name}.{case}: took {seconds:.1f} s; a rule has less than {SLOWEST_SECONDS:g} s")
        if not any(text.startswith("cannot be run") for text in differs):
            wrong += _answer(evaluate_case(pack, case), f"{pack.name}.{case.rule}", answered)
    wrong += drawing_faults(pack, cases)
    ways = sorted({(f"{pack.name}.{rule.name}", rule.by) for rule in pack.rules} - answered)
    wrong += [f"{code}{f' by {by}' if by else ''} is answered by no case" for code, by in ways]
    return list(dict.fromkeys(wrong))


def _kinds(pack: RulePack, cases: list[Case]) -> list[str]:
    """Every rule has cases of every kind, and every case file is some rule's."""
    names = {rule.name for rule in pack.rules}
    have = {(case.rule, case.kind) for case in cases}
    wrong = [f"cases/{name}.toml has no case of kind {kind}" for name in sorted(names) for kind in KINDS if (name, kind) not in have]
    strays = sorted({case.rule for case in cases} - names)
    return wrong + [f"cases/{stray}.toml is the case file of no rule" for stray in strays]


def _answer(evaluation: Evaluation, code: str, answered: set[tuple[str, str]]) -> list[str]:
    """Check the wording of the rule's own findings and that the whole answer can be sent and read back."""
    wrong: list[str] = []
    for finding in (finding for work in evaluation.works for finding in work.findings):
        if finding.state in _ANSWERED:
            answered.add((finding.rule, finding.by))
        wrong += _words(finding) if finding.rule == code else []
    try:
        encoded = msgspec.json.encode(evaluation)
        back = msgspec.json.encode(msgspec.json.decode(encoded, type=Evaluation))
        if msgspec.json.decode(back) != msgspec.json.decode(encoded):  # by value: 0 may come back as 0.0
            wrong.append(f"{code}: the answer reads back differently")
    except (TypeError, msgspec.MsgspecError) as error:
        wrong.append(f"{code}: the answer cannot be sent: {error}")
    return wrong


def _words(finding: Finding) -> list[str]:
    wrong = [text for sentence in sentences_of(finding) for text in faults_of(sentence)]
    if finding.state is State.UNMET and not finding.remedy.strip():
        wrong.append(f"{finding.rule}: unmet ({finding.effect}) has no remedy; say what to do")
    if finding.state is State.ERROR:
        wrong.append(f"{finding.rule}: failed: {finding.coordinator}")
    return wrong


def _remedies(pack: RulePack) -> list[str]:
    """Every effect that a rule declares has a remedy, whether or not a case brings it about."""
    return [
        f"{pack.name}.{rule.name}: effect {effect} has no remedy"
        for rule in pack.rules
        for effect in rule.effects
        if not _remedy(rule, effect).strip()
    ]


def _remedy(rule: Rule, effect: object) -> str:
    remedy = rule.words.remedy
    return remedy if isinstance(remedy, str) else str(remedy.get(effect, ""))  # type: ignore[call-overload]
