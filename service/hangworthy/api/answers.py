"""The answers of the API beside the evaluation itself: packs, rules, limits, venues, health."""

from typing import Any

import msgspec

from hangworthy.contract.effect import Effect, Stage
from hangworthy.contract.reading import TextRead
from hangworthy.contract.source import Source
from hangworthy.contract.venue import ExchangeRate, Guard, StockFrame
from hangworthy.engine.fault import Fault


class LimitAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """A limit as it is in force at a venue: its value, its default, and the range that an override must keep.

    ``reason`` is the venue's, where it overrides the default.
    """

    name: str
    meaning: str
    value: float
    unit: str
    default: float
    minimum: float
    maximum: float
    source: Source
    reason: str = ""


class PackAnswer(msgspec.Struct, frozen=True):
    """An installed rule pack: name, version, a fingerprint of its files, where it came from, its rules and the sections it adds."""

    name: str
    version: str
    title: str
    fingerprint: str
    distribution: str
    rules: tuple[str, ...]
    sections: tuple[str, ...]


class FactNeed(msgspec.Struct, frozen=True):
    """A fact that a rule reads. ``optional`` facts may be missing; ``tried`` ones are tried with each possible answer."""

    pointer: str
    title: str
    prompt: str
    how: str
    unit: str
    optional: bool
    tried: bool


class ConditionAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """When a rule concerns a work: the facts at ``pointers`` are given, and have one of ``values`` where those are listed."""

    pointers: tuple[str, ...]
    values: tuple[str | bool | float, ...] = ()


class WayAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """One way of measuring what a rule asks: the facts it reads, what it applies to and the limits it compares with."""

    facts: tuple[FactNeed, ...]
    applies: tuple[ConditionAnswer, ...]
    limits: tuple[str, ...]
    measure: str
    due: Stage
    by: str = ""
    explanation: str = ""
    over_set: bool = False
    among: tuple[str, ...] = ()


class RuleSummary(msgspec.Struct, frozen=True):
    """A rule in short: its code, the pack it is from, the question it answers, what not meeting it means, and when it is due."""

    code: str
    pack: str
    question: str
    effects: tuple[Effect, ...]
    due: Stage
    facts: tuple[str, ...]


class RuleAnswer(msgspec.Struct, frozen=True):
    """A rule in full. ``ways`` lists every way of measuring it, the preferred one first; ``cases`` are the ones it is tested with.

    ``limits`` are the defaults; a venue may differ (see /limits).
    """

    code: str
    pack: str
    pack_version: str
    question: str
    explanation: str
    effects: tuple[Effect, ...]
    due: Stage
    source: Source
    ways: tuple[WayAnswer, ...]
    limits: tuple[LimitAnswer, ...]
    cautions: tuple[str, ...]
    cases: tuple[dict[str, Any], ...]


class OverrideAnswer(msgspec.Struct, frozen=True):
    """A limit that a venue overrides: as the venue wrote it, and why."""

    name: str
    value: float | str
    reason: str


class VenueSummary(msgspec.Struct, frozen=True):
    """A venue in short. ``is_default`` marks the venue of a request that names none."""

    name: str
    version: int
    title: str
    fingerprint: str
    is_default: bool


class VenueAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """A venue in full: its packs, the limits it overrides, its guard levels, conditions, walls and frame stock.

    ``frames`` is left out where the venue's stock is not known, ``rates`` where it has none. ``content`` is the same as PUT takes it.
    """

    name: str
    version: int
    title: str
    fingerprint: str
    is_default: bool
    packs: tuple[str, ...]
    limits: tuple[OverrideAnswer, ...]
    guard: Guard
    walls: dict[str, Any]
    content: dict[str, Any]
    conditions: Any = None
    frames: tuple[StockFrame, ...] | None = None
    rates: tuple[ExchangeRate, ...] | None = None
    retention_days: int | None = None


class ReadingsAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """What was read, one reading for each line, in their order.

    ``language`` is there when its sentences are not in English, with a fingerprint of the ``texts`` that they were made of.
    """

    readings: tuple[TextRead, ...]
    language: str | None = None
    texts: str | None = None


class Live(msgspec.Struct, frozen=True):
    """The service runs."""

    status: str = "live"


class ReadyPack(msgspec.Struct, frozen=True):
    """A pack that is loaded."""

    name: str
    version: str
    fingerprint: str


class ReadyHistory(msgspec.Struct, frozen=True):
    """The history: the kind of its database, the version of its schema, whether it can be written, and its queue."""

    database: str
    schema_version: str
    writable: bool
    waiting: int
    capacity: int


class Ready(msgspec.Struct, frozen=True, omit_defaults=True):
    """What the service can answer with. “degraded”: packs are at fault and left out, or the history cannot be written.

    With packs at fault every outcome stays unsettled. ``default_venue`` is only told where no key is needed; ``history`` is there
    where one is kept.
    """

    status: str
    packs: tuple[ReadyPack, ...]
    faults: tuple[Fault, ...]
    default_venue: str | None = None
    history: ReadyHistory | None = None


class PackList(msgspec.Struct, frozen=True):
    """The installed packs, by name."""

    items: tuple[PackAnswer, ...]


class RuleList(msgspec.Struct, frozen=True):
    """The rules, by code."""

    items: tuple[RuleSummary, ...]


class LimitList(msgspec.Struct, frozen=True):
    """The limits in force at one venue, by name."""

    items: tuple[LimitAnswer, ...]
    venue: str


class VenueList(msgspec.Struct, frozen=True):
    """The venues, the default one first."""

    items: tuple[VenueSummary, ...]
