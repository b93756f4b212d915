"""Set rules: several works asked together; each gets a verdict of its own."""

from collections.abc import Sequence
from typing import Any

import msgspec

from hangworthy.contract.check import Check, Undecided
from hangworthy.contract.effect import State
from hangworthy.contract.venue import Guard
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.uncertainty import judge
from hangworthy.engine.verdict import BadAnswer, NeedsMoreError, Verdict, decided, failed, moves, worst_effect

Answer = Check | Undecided


class _Row(msgspec.Struct):
    """One work in the set: its arguments, the facts by which it is grouped, what it lacks."""

    place: int
    ref: str
    args: list[Any]
    among: tuple[Any, ...]
    missing: tuple[str, ...]


def set_verdicts(bound: BoundRule, reads: Sequence[ReadWork], refs: Sequence[str], guard: Guard) -> list[Verdict]:
    """Return one verdict per work.

    Works that lack a fact are unknown, and so is a met answer of a work that one of them might clash with: what is missing there
    could have turned it.
    """
    verdicts: list[Verdict] = []
    rows: list[_Row] = []
    for place, read in enumerate(reads):
        row = _row(bound, place, refs[place], read.values)
        verdicts.append(_before_asked(bound, row))
        if row is not None:
            rows.append(row)
    complete = [row for row in rows if not row.missing]
    lacking = [row for row in rows if row.missing]
    for members in _groups(complete):
        found = _ask_together(bound, members, reads, guard)
        for row, one in zip(members, found, strict=True):
            verdicts[row.place] = _waiting(one, row, lacking, bound)
    return verdicts


def alone(bound: BoundRule, read: ReadWork, guard: Guard) -> Verdict:
    """Return the verdict on a work that has no others beside it: what ``set_verdicts`` says of it alone."""
    row = _row(bound, 0, "", read.values)
    return _before_asked(bound, row) if row is None or row.missing else _ask_together(bound, [row], [read], guard)[0]


def _before_asked(bound: BoundRule, row: _Row | None) -> Verdict:
    """Return the verdict on a work that the rule does not concern, or that lacks a fact."""
    if row is None:
        return Verdict(State.NOT_APPLICABLE, bound.worst)
    return Verdict(State.UNKNOWN, bound.worst, missing=row.missing)


def _row(bound: BoundRule, place: int, ref: str, values: list[Any]) -> _Row | None:
    """Return a work as the rule is asked of it; None where the rule does not concern it."""
    concerned, undecided = bound.applies(values)
    if not concerned:
        return None
    args, missing, _ = bound.arguments(values)
    among = tuple(values[slot.index] for slot in bound.entry.among)
    ungrouped = tuple(slot.pointer for slot, value in zip(bound.entry.among, among, strict=True) if value is None)
    return _Row(place, ref, args, among, tuple(dict.fromkeys(undecided + ungrouped + missing)))


def _groups(rows: list[_Row]) -> list[list[_Row]]:
    """Partition by the among facts; inside, order by ref so that the order of the request cannot matter."""
    groups: dict[tuple[Any, ...], list[_Row]] = {}
    for row in sorted(rows, key=lambda row: row.ref):
        groups.setdefault(row.among, []).append(row)
    return list(groups.values())


def _call(bound: BoundRule, rows: Sequence[list[Any]]) -> list[Answer]:
    columns = zip(*rows, strict=True)
    answers = list(bound.function(*bound.limits, *map(tuple, columns)))
    if len(answers) != len(rows):
        raise BadAnswer(f"it answered for {len(answers)} works of {len(rows)}")
    return answers


def _ask_together(bound: BoundRule, members: list[_Row], reads: Sequence[ReadWork], guard: Guard) -> list[Verdict]:
    """Call the rule for one group inside its boundary."""
    try:
        rows = [row.args for row in members]
        base = _call(bound, rows)
        moved = _moved_together(bound, members, rows, reads)
        return [
            _judged(bound, answer, [(up[number], down[number], scale) for up, down, scale in moved], guard)
            for number, answer in enumerate(base)
        ]
    except (Exception, SystemExit) as error:  # noqa: BLE001 - a pack's rule may raise anything; the findings say so and nothing else fails
        return [failed(bound, error) for _ in members]


def _judged(bound: BoundRule, answer: Answer, moved: list[tuple[Answer, Answer, float]], guard: Guard) -> Verdict:
    """Return the verdict for one work of the group: unknown where the rule is undecided, be it only for a moved fact."""
    try:
        check, certain = decided(answer), [(decided(up), decided(down), scale) for up, down, scale in moved]
    except NeedsMoreError as more:
        missing = () if more.others and not more.missing else bound.pointers_of(more.missing)
        return Verdict(State.UNKNOWN, bound.worst, missing=missing, others=() if missing else more.others)
    state, u, probability = judge(check, certain, guard)
    effect = bound.effect_of(check)
    return Verdict(state, effect, check, u, probability, effect_at_worst=worst_effect(bound, state, effect, certain))


def _moved_together(
    bound: BoundRule, members: list[_Row], rows: list[list[Any]], reads: Sequence[ReadWork]
) -> list[tuple[list[Answer], list[Answer], float]]:
    made: list[tuple[list[Answer], list[Answer], float]] = []
    for number, row in enumerate(members):
        for one in reads[row.place].uncertain:
            if (places := bound.places.get(one.slot)) is None:
                continue
            up, down, scale = moves(row.args[places[0]], one)
            high, low = row.args.copy(), row.args.copy()
            for place in places:
                high[place], low[place] = up, down
            made.append((_call(bound, _replaced(rows, number, high)), _call(bound, _replaced(rows, number, low)), scale))
    return made


def _replaced(rows: list[list[Any]], number: int, row: list[Any]) -> list[list[Any]]:
    return [*rows[:number], row, *rows[number + 1 :]]


def _waiting(one: Verdict, row: _Row, lacking: list[_Row], bound: BoundRule) -> Verdict:
    """Turn a met answer into unknown while another work that it might clash with is not fully known."""
    if one.state is not State.MET:
        return one
    others = sorted(other.ref for other in lacking if _may_meet(row.among, other.among))
    return Verdict(State.UNKNOWN, bound.worst, others=tuple(others)) if others else one


def _may_meet(mine: tuple[Any, ...], theirs: tuple[Any, ...]) -> bool:
    return all(other is None or own == other for own, other in zip(mine, theirs, strict=True))
