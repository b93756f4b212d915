"""The answer: findings, questions, outcomes, for one work and for the whole request."""

from datetime import date
from typing import Any

import msgspec
from msgspec import UNSET, UnsetType

from hangworthy.contract.effect import Effect, Outcome, Stage, State
from hangworthy.contract.reading import TextRead
from hangworthy.contract.source import Source


class LimitUsed(msgspec.Struct, frozen=True, omit_defaults=True):
    """A limit as it was in force: name, value, unit and where it came from; ``reason`` is the venue's, if it overrode it."""

    name: str
    value: float
    unit: str
    source: Source
    reason: str = ""


class Finding(msgspec.Struct, omit_defaults=True, gc=False):
    """One rule's answer for one work.

    ``facts`` maps each fact read to its value in the fact's unit, addressed by a JSON Pointer inside the work (``/wall/…`` and
    ``/venue/…`` for the place). ``measured`` stands against ``at_least`` and ``at_most`` in ``unit``; ``share`` is the part of the
    limit that is used (1.0 at the limit). With an uncertain measurement ``standard_uncertainty`` and ``probability`` (that the limit
    is kept) are there. ``effect_at_worst`` is there where missing facts could make the effect worse. ``due`` is there when the missing
    facts are only due at a later stage. ``instead`` lists other sets of facts that would answer as well; ``others`` the works that a
    comparison still waits for; ``compared`` is there when the work was compared with others of the request. ``by_label`` shows ``by`` in
    the answer's language; it is left out in English.
    """

    rule: str
    state: State
    effect: Effect
    pack: str
    pack_version: str
    question: str
    artist: str
    coordinator: str
    source: Source
    by: str = ""
    effect_at_worst: Effect | None = None
    due: Stage | None = None
    measured: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    unit: str = ""
    share: float | None = None
    standard_uncertainty: float | None = None
    probability: float | None = None
    facts: dict[str, Any] = {}
    missing: tuple[str, ...] = ()
    instead: tuple[tuple[str, ...], ...] = ()
    limits: tuple[LimitUsed, ...] = ()
    remedy: str = ""
    cautions: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    compared: bool = False
    by_label: str = ""


class Question(msgspec.Struct, frozen=True, omit_defaults=True):
    """A fact still to be given: its pointer, what to show, and what an answer would settle.

    ``effect`` is the worst effect that an answer could settle; ``settles`` lists the rules that wait for it.
    ``labels`` show the ``choices`` in the answer's language, in the same order; they are left out in English.
    """

    fact: str
    title: str
    prompt: str
    how: str
    asked_of: str
    type: str
    effect: Effect
    settles: tuple[str, ...]
    unit: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    minimum: float | None = None
    maximum: float | None = None
    count: int | None = None
    labels: tuple[str, ...] = ()


class CountedFact(msgspec.Struct, frozen=True):
    """A fact that was not given but counted: days from a day that was given to that of the evaluation, and the sentence that says so."""

    fact: str
    value: float
    unit: str
    since: str
    first: date
    day: date
    sentence: str


class WorkAnswer(msgspec.Struct):
    """What is known of one work: ``outcome`` now, ``at_worst`` if all that is open turned out badly, ``settled`` when they agree.

    ``checked`` counts the findings that concern the work; at 0 no rule of the venue's packs does, and "ready" says only that.
    ``reading`` is there where the work came with free text: what was read in it, and what that left open. ``counted`` is there where
    days were counted from a day that was given, such as the one on which the work was finished.
    ``safe_first`` is there while a hazard is unmet (mould, insects, broken glass, loose paint): the rules that found it. Their remedies
    come first; all others wait until a conservator or framer has cleared the work, and so do their ``questions``: only what rules about
    hazards lack is asked till then. What other findings lack stays in their ``missing``, and counts in ``at_worst``.
    """

    ref: str
    outcome: Outcome
    at_worst: Outcome
    settled: bool
    checked: int
    findings: list[Finding]
    questions: list[Question]
    reading: TextRead | UnsetType = UNSET
    counted: tuple[CountedFact, ...] | UnsetType = UNSET
    safe_first: tuple[str, ...] | UnsetType = UNSET


class PackUsed(msgspec.Struct, frozen=True):
    """The pack that answered: name, version, and a fingerprint of its files."""

    name: str
    version: str
    fingerprint: str


class VenueUsed(msgspec.Struct, frozen=True):
    """The venue that was asked for: name, version, and a fingerprint of all that it says."""

    name: str
    version: int
    fingerprint: str


class Evaluation(msgspec.Struct, omit_defaults=True):
    """The whole answer. ``evaluated_at`` is UTC; ``faults`` is there only when the service runs with a pack left out.

    ``id`` is there when the evaluation was recorded: it can be read again by it. ``language`` is there when its sentences are not in
    English, with a fingerprint of the ``texts`` that they were made of.
    """

    stage: Stage
    venue: VenueUsed
    packs: tuple[PackUsed, ...]
    outcome: Outcome
    at_worst: Outcome
    settled: bool
    works: list[WorkAnswer]
    evaluated_at: str | None = None
    faults: tuple[str, ...] = ()
    id: str | None = None
    language: str | None = None
    texts: str | None = None
