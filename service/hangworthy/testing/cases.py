"""Cases: what a rule must answer for given facts, written as TOML, one file per rule."""

import tomllib
from collections.abc import Mapping
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from hangworthy.contract import Effect, ExchangeRate, Outcome, RulePack, Stage, State, StockFrame

CaseKind = Literal["pass", "fail", "edge", "unknown"]
KINDS: tuple[CaseKind, ...] = ("pass", "fail", "edge", "unknown")
_SHOWN_BY_KIND: Mapping[str, frozenset[State]] = {
    "pass": frozenset((State.MET, State.NOT_APPLICABLE)),
    "fail": frozenset((State.UNMET,)),
    "unknown": frozenset((State.UNKNOWN,)),
}


class CaseError(ValueError):
    """A case file that cannot be read; the message names the file and the case."""


class Expect(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is expected. ``state`` for one work, ``states`` for a set; everything else is checked only where it is given.

    ``tolerance`` is absolute, in the unit of ``measured``; ``probability_tolerance`` is absolute too. ``missing`` are pointers, in any
    order. ``outcome`` and ``at_worst`` are of the first work, from this pack's rules alone.
    """

    state: State | None = None
    states: tuple[State, ...] = ()
    effect: Effect | None = None
    effect_at_worst: Effect | None = None
    measured: float | tuple[float, ...] | None = None
    tolerance: float = 0.001
    missing: tuple[str, ...] | None = None
    due: Stage | None = None
    probability: float | None = None
    probability_tolerance: float = 0.001
    outcome: Outcome | None = None
    at_worst: Outcome | None = None


class Case(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One case. ``work`` (or ``works``, for a set rule) holds facts as a submission does; a ref is filled in where it is left out.

    ``wall`` holds the conditions at the venue, ``walls`` its walls by the name that a work's ``wall_name`` gives, ``frames`` its stock,
    ``rates`` its exchange rates, ``limits`` its overrides by the limit's short name. ``by`` is the way of measuring that is meant, where
    a rule has several.
    """

    name: Annotated[str, Meta(min_length=1)]
    kind: CaseKind
    expect: Expect
    why: str = ""
    stage: Stage = Stage.OFFER
    by: str = ""
    work: dict[str, Any] = {}
    works: tuple[dict[str, Any], ...] = ()
    wall: dict[str, Any] = {}
    walls: dict[str, dict[str, Any]] = {}
    frames: tuple[StockFrame, ...] | None = None
    rates: tuple[ExchangeRate, ...] | None = None
    limits: dict[str, float | str] = {}
    rule: str = ""

    def __str__(self) -> str:
        """Return the case as a test's id shows it."""
        return f"{self.rule}: {self.name}"

    def facts(self) -> list[dict[str, Any]]:
        """Return the works, each with a reference."""
        given = self.works or (self.work,)
        return [{"ref": f"case-{place}", **facts} for place, facts in enumerate(given, 1)]

    def states(self) -> tuple[State, ...]:
        """Return the expected state of each work."""
        return self.expect.states or ((self.expect.state,) if self.expect.state else ())


def case_texts(pack: RulePack) -> dict[str, str]:
    """Return the pack's case files by rule name."""
    cases = pack.cases
    if isinstance(cases, Mapping):
        return dict(cases)
    if not cases.is_dir():
        return {}
    files = [file for file in cases.iterdir() if file.name.endswith(".toml")]
    return {file.name.removesuffix(".toml"): file.read_text("utf-8") for file in sorted(files, key=lambda file: file.name)}


def cases_of(pack: RulePack) -> list[Case]:
    """Return every case of a pack, by rule and then as written. Raises CaseError naming file and case."""
    return [case for rule, text in sorted(case_texts(pack).items()) for case in read_cases(pack.name, rule, text)]


def read_cases(pack: str, rule: str, text: str) -> list[Case]:
    """Return the cases of one file. Raises CaseError naming file and case."""
    file = f"{pack}: cases/{rule}.toml"
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CaseError(f"{file}: {error}") from None
    tables = content.pop("case", [])
    if content:
        raise CaseError(f"{file}: {sorted(content)[0]} is not known here; a case file holds only [[case]] tables")
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise CaseError(f"{file}: write each case as a [[case]] table, with two brackets")
    return [_case(file, rule, number, table) for number, table in enumerate(tables, 1)]


def _case(file: str, rule: str, number: int, table: dict[str, Any]) -> Case:
    where = f"{file}, case {number} “{table.get('name', '')}”"
    try:
        case = msgspec.convert({**table, "rule": rule}, Case)
    except msgspec.ValidationError as error:
        raise CaseError(f"{where}: {error}") from None
    if bool(case.expect.state) == bool(case.expect.states):
        raise CaseError(f"{where}: expect needs either state or states")
    if case.expect.states and len(case.expect.states) != len(case.works):
        raise CaseError(f"{where}: expect.states has {len(case.expect.states)} states for {len(case.works)} works")
    shown = _SHOWN_BY_KIND.get(case.kind)
    if shown and not shown.intersection(case.states()):
        raise CaseError(f"{where}: kind is {case.kind}, but {' and '.join(case.states())} is expected")
    return case
