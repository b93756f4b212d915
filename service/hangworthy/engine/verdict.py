"""Verdicts: one call of a rule, guarded; its uncertainty; and what several possible answers have in common."""

from collections.abc import Callable, Sequence
from typing import Any

import msgspec

from hangworthy.contract.check import Check, Undecided
from hangworthy.contract.effect import Effect, State
from hangworthy.contract.venue import Guard
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.reading import Uncertain
from hangworthy.engine.uncertainty import Moved, judge

_MET, _UNMET = State.MET, State.UNMET


class Verdict(msgspec.Struct, gc=False):
    """What a rule says of a work, before it is put into words."""

    state: State
    effect: Effect
    check: Check | None = None
    u: float | None = None
    probability: float | None = None
    missing: tuple[str, ...] = ()
    effect_at_worst: Effect | None = None
    others: tuple[str, ...] = ()
    why: str = ""


class BadAnswer(TypeError):
    """A rule returned something that is no check, or a check with NaN or infinity in it."""


class NeedsMoreError(Exception):
    """A rule could tell from the figure as given, but not everywhere within its uncertainty; holds the facts it would need."""

    def __init__(self, missing: tuple[str, ...], others: tuple[str, ...] = ()) -> None:
        """Hold the paths, and the other works that a set rule waits for."""
        self.missing, self.others = missing, others


def decided(answer: Any) -> Check:
    """Return a rule's answer for a moved fact. Raises NeedsMoreError when it is undecided there."""
    if type(answer) is Undecided:
        raise NeedsMoreError(answer.missing, answer.others)
    return checked(answer)


def checked(answer: Any) -> Check:
    """Return a rule's answer if it is a finite check. Raises BadAnswer otherwise."""
    if type(answer) is not Check:
        raise BadAnswer(f"it returned {type(answer).__name__}, not a Check")
    if type(answer.met) is not bool:
        raise BadAnswer("its answer is neither yes nor no")
    total = (answer.value or 0.0) + (answer.low or 0.0) + (answer.high or 0.0)
    if total - total != 0.0:  # true of NaN and infinity, and of nothing that the sane ranges let through
        raise BadAnswer("it returned NaN or infinity")
    return answer


def failed(bound: BoundRule, error: BaseException) -> Verdict:
    """Return the verdict for a rule that raised. Only the kind of error is kept: its text may hold a work's facts."""
    return Verdict(State.ERROR, bound.worst, why=type(error).__name__)


def moves(value: Any, one: Uncertain) -> tuple[Any, Any, float]:
    """Return a fact moved up and down by one standard uncertainty within its sane range, and the scale for a cut move."""
    nominal = value if one.item is None else value[one.item]
    up, down = min(nominal + one.u, one.hi), max(nominal - one.u, one.lo)
    scale = 2 * one.u / (up - down) if up > down else 1.0
    if one.item is None:
        return up, down, scale
    head, tail = value[: one.item], value[one.item + 1 :]
    return (*head, up, *tail), (*head, down, *tail), scale


def _moved(call: Callable[[list[Any]], Check], bound: BoundRule, args: Sequence[Any], uncertain: Sequence[Uncertain]) -> list[Moved]:
    """Call the rule again with each uncertain fact moved."""
    made: list[Moved] = []
    for one in uncertain:
        places = bound.places.get(one.slot)
        if places is None:
            continue
        up, down, scale = moves(args[places[0]], one)
        high, low = list(args), list(args)
        for place in places:
            high[place], low[place] = up, down
        made.append((call(high), call(low), scale))
    return made


def worst_effect(bound: BoundRule, state: State, effect: Effect, moved: Sequence[Moved]) -> Effect | None:
    """Return the worst effect that a measurement's uncertainty leaves open, if it is worse than the one at hand.

    A rule may decide its effect by the very fact that is uncertain; what a moved fact would mean must be counted at worst.
    """
    if state is State.MET:
        return None
    open_effects = [bound.effect_of(check) for up, down, _ in moved for check in (up, down) if not check.met]
    worst = max([effect, *open_effects], key=lambda one: one.rank)
    return worst if worst is not effect else None


def _ask(bound: BoundRule, args: Sequence[Any], uncertain: Sequence[Uncertain], guard: Guard) -> Verdict:
    """Call the rule inside its boundary: whatever it raises becomes an error of this finding alone."""
    try:
        answer = bound.function(*bound.limits, *args)
        if type(answer) is Undecided:
            return Verdict(State.UNKNOWN, bound.worst, missing=bound.pointers_of(answer.missing))
        check = checked(answer)
        effect = bound.worst if check.effect is None else bound.effect_of(check)
        if not uncertain:
            return Verdict(_MET if check.met else _UNMET, effect, check)
        try:
            moved = _moved(lambda moved_args: decided(bound.function(*bound.limits, *moved_args)), bound, args, uncertain)
        except NeedsMoreError as more:
            return Verdict(State.UNKNOWN, bound.worst, missing=bound.pointers_of(more.missing))
        state, u, probability = judge(check, moved, guard)
        return Verdict(state, effect, check, u, probability, effect_at_worst=worst_effect(bound, state, effect, moved))
    except (Exception, SystemExit) as error:  # noqa: BLE001 - a pack's rule may raise anything; the finding says so and nothing else fails
        return failed(bound, error)


def verdict(bound: BoundRule, values: list[Any], uncertain: Sequence[Uncertain], guard: Guard) -> Verdict:
    """Return what a rule says of one work."""
    only = bound.only
    if bound.conditions and (only is None or values[only[0]] not in only[1]):
        concerned, missing = bound.applies(values)
        if not concerned:
            return Verdict(State.NOT_APPLICABLE, bound.worst)
        if missing:
            return Verdict(State.UNKNOWN, bound.worst, missing=missing)
    read = bound.take(values)
    if None not in read:
        return _ask(bound, read, uncertain, guard)
    args, missing, tried = bound.arguments(values)
    if missing:
        return Verdict(State.UNKNOWN, bound.worst, missing=missing)
    if not tried:
        return _ask(bound, args, uncertain, guard)
    possible = [_ask(bound, one, uncertain, guard) for one in bound.combinations(args, tried)]
    return agreed(bound, possible, tuple(bound.pointers[place] for place in tried))


def agreed(bound: BoundRule, possible: list[Verdict], tried: tuple[str, ...]) -> Verdict:
    """Return what all possible verdicts agree on; where they differ, the facts that were tried are missing."""
    states = {one.state for one in possible}
    if State.ERROR in states:
        return next(one for one in possible if one.state is State.ERROR)
    if states == {State.MET}:
        return possible[0]
    if len(states) > 1 or State.UNKNOWN in states:
        more = tuple(dict.fromkeys(pointer for one in possible for pointer in one.missing))
        return Verdict(State.UNKNOWN, bound.worst, missing=tried + more)
    best = min(possible, key=lambda one: one.effect.rank)
    worst = max((one.effect_at_worst or one.effect for one in possible), key=lambda effect: effect.rank)
    if any(one.effect is not best.effect for one in possible):
        best.missing = tried
    if worst is not best.effect:
        best.effect_at_worst = worst
    return best
