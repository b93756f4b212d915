"""What a sheet says of one work: an evaluation's findings, sorted for two readers, the artist and whoever stands at the bench."""

from collections.abc import Iterable, Mapping, Sequence, Set
from typing import Any

import msgspec
from msgspec import UNSET

from hangworthy.contract.effect import Effect, Outcome, Stage, State
from hangworthy.contract.finding import Evaluation, Finding, Question, WorkAnswer
from hangworthy.contract.steps import Step, Tool
from hangworthy.engine.drawings import Drawn
from hangworthy.engine.schema import Slot

RuleKey = tuple[str, str]  # a rule's code, and by which way it is measured


class RuleNotes(msgspec.Struct, frozen=True):
    """What a rule says of itself beside its findings: the noun phrase for the bench, when its remedy comes, with what, and who does it."""

    measure: str = ""
    step: Step | None = None
    tools: tuple[Tool, ...] = ()
    ours: bool = False


class Told(msgspec.Struct, frozen=True):
    """All that sheets are made of: the answer in the language asked for, what was sent of each work, and what packs say beside it.

    ``slots`` are the facts by pointer, and ``labels`` how their choices are shown, by path.
    ``drawings`` are by the work's ref; ``changed`` are the refs whose drawings were left out since the rules are others by now.
    """

    answer: Evaluation
    sent: Mapping[str, Mapping[str, Any]]
    venue_title: str = ""
    rules: Mapping[RuleKey, RuleNotes] = {}
    slots: Mapping[str, Slot] = {}
    labels: Mapping[str, Mapping[str, str]] = {}
    drawings: Mapping[str, Sequence[Drawn]] = {}
    changed: frozenset[str] = frozenset()


class Item(msgspec.Struct, frozen=True):
    """One thing to do or to know: the finding, the step that it belongs to, and the cautions that no item before it has told."""

    finding: Finding
    step: Step
    tools: tuple[Tool, ...]
    cautions: tuple[str, ...] = ()
    ours: bool = False


class ToFind(msgspec.Struct, frozen=True):
    """One fact to find out on the bench: what it is called, its unit if it has one, and how it is measured or seen."""

    title: str
    unit: str = ""
    how: str = ""


class WorkSheet(msgspec.Struct, frozen=True):
    """One work's sheet. Lists are in the order in which they are read.

    While there is a ``hazard``, only ``todo`` may be done at once; ``later`` and ``again`` wait until the work is cleared. Without one all
    is in ``todo``.
    """

    work: WorkAnswer
    sent: Mapping[str, Any]
    hazard: bool
    blockers: tuple[Item, ...]
    todo: tuple[Item, ...]
    later: tuple[Item, ...]
    again: tuple[Item, ...]
    ours: tuple[Item, ...]
    advice: tuple[Item, ...]
    fine: tuple[str, ...]
    asked: tuple[Question, ...]
    looked_up: tuple[Question, ...]
    tools: tuple[Tool, ...]
    cautions: tuple[str, ...]
    rows: tuple[Finding, ...]
    to_find_out: tuple[ToFind, ...]
    also_fine: tuple[Finding, ...]
    drawings: tuple[Drawn, ...]
    drawings_left_out: bool


# What may be done while a hazard is in the work: make it safe, and what is done on paper alone.
_AT_ONCE = (Step.ISOLATE, Step.PAPERS)
_STEPS = {step: place for place, step in enumerate(Step)}
_STATES = {State.UNMET: 0, State.ERROR: 1, State.BORDERLINE: 2, State.MET: 3}


def sheet_of(told: Told, work: WorkAnswer) -> WorkSheet:
    """Return the sheet of one work of the answer."""
    items = _items(told, work)
    unmet = [one for one in items if one.finding.state is State.UNMET]
    hazard = work.safe_first is not UNSET
    blockers = [one for one in unmet if one.finding.effect is Effect.REFUSE and one.step is not Step.ISOLATE]
    moot = {one.finding.pack for one in blockers if not one.ours}
    mine = [one for one in unmet if not one.ours and one not in blockers]
    todo = [one for one in mine if one.finding.effect is not Effect.ADVISE]
    later = [one for one in todo if hazard and one.step not in _AT_ONCE]
    todo = [one for one in todo if one not in later]
    again = [one for one in items if one.finding.state is State.BORDERLINE]
    advice = [one for one in mine if one.finding.effect is Effect.ADVISE and one.finding.pack not in moot]
    ours = [one for one in unmet if one.ours and one not in blockers]
    shown = _cautioned(blockers, todo, later, again, advice, ours)
    asked = [one for one in work.questions if one.asked_of == "artist"]
    left_out = work.ref in told.changed
    return WorkSheet(
        work=work, sent=told.sent.get(work.ref, {}), hazard=hazard, blockers=shown[0], todo=shown[1], later=shown[2], again=shown[3],
        advice=shown[4], ours=shown[5], fine=_fine(work.findings, moot), asked=tuple(asked),
        looked_up=tuple(one for one in work.questions if one.asked_of != "artist"),
        tools=_tools(told, todo) if hazard else _tools(told, [*todo, *advice], again, asked),
        cautions=_cautions(items), rows=_rows(work.findings),
        to_find_out=_to_find_out(told, work.findings),
        also_fine=tuple(one for one in work.findings if one.state is State.MET and one.measured is None),
        drawings=() if left_out else tuple(told.drawings.get(work.ref, ())), drawings_left_out=left_out,
    )  # fmt: skip


def step_of(finding: Finding, notes: RuleNotes) -> Step:
    """Return when a remedy comes: as the rule says, else by its effect."""
    return notes.step or (Step.MEND if finding.effect is Effect.REPAIR else Step.FIT)


def _items(told: Told, work: WorkAnswer) -> list[Item]:
    """Return what is unmet or too close, by step, then worst effect first, then by rule."""
    made = []
    for finding in work.findings:
        if finding.state in (State.UNMET, State.BORDERLINE):
            notes = told.rules.get((finding.rule, finding.by), RuleNotes())
            made.append(Item(finding, step_of(finding, notes), notes.tools, finding.cautions, notes.ours))
    return sorted(made, key=lambda one: (_STEPS[one.step], -one.finding.effect.rank, one.finding.rule, one.finding.by))


def _cautioned(*lists: list[Item]) -> list[tuple[Item, ...]]:
    """Return the lists with each caution told once, where it comes first."""
    seen: set[str] = set()
    made: list[tuple[Item, ...]] = []
    for items in lists:
        kept = []
        for one in items:
            kept.append(msgspec.structs.replace(one, cautions=tuple(text for text in one.cautions if text not in seen)))
            seen.update(one.cautions)
        made.append(tuple(kept))
    return made


def _cautions(items: Iterable[Item]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for one in items for text in one.finding.cautions))


def _fine(findings: Sequence[Finding], moot: Set[str]) -> tuple[str, ...]:
    """Return what is in order, in the artist's words, what would have weighed most first.

    What a pack finds fine of a work that it refuses, on whatever wall, says how it would hang here: that is ``moot``, as is its advice.
    """
    met = sorted((one for one in findings if one.state is State.MET and one.pack not in moot), key=lambda one: -one.effect.rank)
    return tuple(dict.fromkeys(one.artist for one in met))


def _tools(told: Told, doing: Sequence[Item], measuring: Sequence[Item] = (), asked: Sequence[Question] = ()) -> tuple[Tool, ...]:
    pointers = [pointer for one in measuring for pointer in one.finding.facts] + [one.fact for one in asked]
    found = [tool for one in doing for tool in one.tools]
    found += [tool for pointer in pointers if pointer in told.slots for tool in told.slots[pointer].ask.tools]
    return tuple(dict.fromkeys(found))


def _rows(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return what the bench compares: every figure, and whatever is not in order; the most urgent first, then by how much is used."""
    rows = [one for one in findings if one.state in _STATES and (one.measured is not None or one.state is not State.MET)]
    return tuple(sorted(rows, key=lambda one: (_STATES[one.state], -one.effect.rank, -(one.share or 0.0), one.rule, one.by)))


def _to_find_out(told: Told, findings: Sequence[Finding]) -> tuple[ToFind, ...]:
    """Return the facts that are missing at arrival, what could settle the worst effect first."""
    waiting = [one for one in findings if one.state is State.UNKNOWN and one.due in (None, Stage.ARRIVAL)]
    waiting.sort(key=lambda one: -(one.effect_at_worst or one.effect).rank)
    pointers = dict.fromkeys(pointer for one in waiting for pointer in one.missing)
    return tuple(_named(told.slots.get(pointer), pointer) for pointer in pointers)


def _named(slot: Slot | None, pointer: str) -> ToFind:
    return ToFind(pointer) if slot is None else ToFind(slot.ask.title, slot.unit, slot.ask.how)


def chosen(told: Told, ref: str | None) -> list[WorkAnswer]:
    """Return the works of an answer that a sheet is wanted of: one by its ref, or all."""
    return [work for work in told.answer.works if ref in (None, work.ref)]


def open_answers(work: WorkAnswer) -> int:
    """Return how many facts are still asked for."""
    return len(work.questions)


def is_open(work: WorkAnswer) -> bool:
    """Return whether a work could still turn out worse than it looks."""
    return not work.settled and work.at_worst is not work.outcome and work.outcome is not Outcome.REFUSE


def margin_of(finding: Finding) -> float | None:
    """Return how far a figure is from the limit that it is nearest to, negative beyond it; None without a limit."""
    value = finding.measured
    if value is None:
        return None
    rooms = [] if finding.at_most is None else [finding.at_most - value]
    rooms += [] if finding.at_least is None else [value - finding.at_least]
    return min(rooms, default=None)
