"""Changes: the types in which a comparison of two evaluations is told."""

from typing import Any, Literal

import msgspec

Change = Literal["given", "gone", "changed"]


class FactChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """A fact, by its pointer inside the work, as it was sent before and after; the side on which it was not given is left out."""

    pointer: str
    change: Change
    before: Any = None
    after: Any = None


class LimitState(msgspec.Struct, frozen=True, omit_defaults=True):
    """A limit as a finding used it: its value, where that came from, and the venue's reason if it was overridden."""

    name: str
    value: float
    unit: str = ""
    source: Any = None
    reason: str = ""


class LimitChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """A limit that a finding used otherwise before than after."""

    name: str
    change: Change
    before: LimitState | None = None
    after: LimitState | None = None


class FindingState(msgspec.Struct, frozen=True, omit_defaults=True):
    """What of a finding is compared: the verdict, the measurement against its limits, and what was missing."""

    state: str
    effect: str
    effect_at_worst: str | None = None
    due: str | None = None
    measured: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    unit: str = ""
    probability: float | None = None
    missing: tuple[str, ...] = ()
    limits: tuple[LimitState, ...] = ()

    @property
    def verdict(self) -> tuple[str | None, ...]:
        """What decides the outcome."""
        return self.state, self.effect, self.effect_at_worst, self.due


class FindingChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """A finding before and after. ``differs`` names what is not the same; ``limits`` are those that were used otherwise.

    ``number`` tells findings of one rule and way apart, where there are several.
    """

    rule: str
    change: Change
    by: str = ""
    number: int = 0
    differs: tuple[str, ...] = ()
    before: FindingState | None = None
    after: FindingState | None = None
    limits: tuple[LimitChange, ...] = ()

    @property
    def decides(self) -> bool:
        """Whether the verdict itself is another one, or there was none on one side."""
        return self.before is None or self.after is None or self.before.verdict != self.after.verdict


class QuestionState(msgspec.Struct, frozen=True):
    """What of a question is compared: the worst effect that it could settle, and the rules that wait for it."""

    effect: str
    settles: tuple[str, ...]


class QuestionChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """An open question, by the pointer of its fact: asked now and not before (given), answered or no longer asked (gone), or changed."""

    fact: str
    change: Change
    before: QuestionState | None = None
    after: QuestionState | None = None


class Result(msgspec.Struct, frozen=True):
    """What a work, or all of them, came to."""

    outcome: str
    at_worst: str
    settled: bool


class WorkChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """All that changed of one work, by its ref."""

    ref: str
    change: Change
    before: Result | None = None
    after: Result | None = None
    facts: tuple[FactChange, ...] = ()
    findings: tuple[FindingChange, ...] = ()
    questions: tuple[QuestionChange, ...] = ()


class PackChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """A pack that answered with another version or fingerprint, or only on one side; version and fingerprint joined by a space."""

    name: str
    change: Change
    before: str = ""
    after: str = ""


class EvaluationChange(msgspec.Struct, frozen=True, omit_defaults=True):
    """What changed between two evaluations; nothing at all between equal ones. ``stage`` and ``venue`` hold before and after."""

    works: tuple[WorkChange, ...] = ()
    packs: tuple[PackChange, ...] = ()
    stage: tuple[str, ...] = ()
    venue: tuple[str, ...] = ()


class Cause(msgspec.Struct, frozen=True, omit_defaults=True):
    """A rule that decided otherwise for a work, with the limits that it used otherwise and its pack, if that is another now."""

    ref: str
    rule: str
    by: str = ""
    before: str = ""
    after: str = ""
    limits: tuple[LimitChange, ...] = ()
    pack: PackChange | None = None
