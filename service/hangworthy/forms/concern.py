"""Concern: which facts matter at a venue, for which works, and from which stage on. Read off what rules declare, nothing else."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from hangworthy.contract.effect import Stage
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import Slot
from hangworthy.engine.signature import Entry


class Atom(msgspec.Struct, frozen=True):
    """One fact decides: it is one of ``values`` (a list holds one of them), or it is given, whatever it is (no values)."""

    path: str
    values: tuple[Any, ...] | None


All = frozenset[Atom]
When = frozenset[All]  # any of these, each with all of its atoms; one without atoms is always so
ALWAYS: When = frozenset((frozenset(),))
KIND = "kind"


class Concern(msgspec.Struct, frozen=True):
    """Why a fact is asked for: the rules that read it, the first stage at which one of them is due, and for which works it matters."""

    rules: tuple[str, ...]
    due: Stage
    when: When


def concerns(ruleset: Ruleset) -> dict[str, Concern]:
    """Return, by path, every fact of a work that a rule of the venue reads for any work that could hang there."""
    schema = ruleset.schema
    places = [ruleset.anywhere, *ruleset.places.values()]
    read: dict[str, list[tuple[Entry, All]]] = {}
    for entry in entries(ruleset):
        atoms = _atoms(entry, places, schema.wall_start)
        if atoms is None:
            continue
        for slot in _reads(entry):
            if slot.index < schema.wall_start:
                mine = frozenset(atom for atom in atoms if atom.path != slot.path)
                read.setdefault(slot.path, []).append((entry, _of_kinds(slot, mine)))
    made = {
        path: Concern(
            tuple(sorted({entry.code for entry, _ in found})),
            _due(schema.by_path[path], [entry for entry, _ in found]),
            simplest(conditions for _, conditions in found),
        )
        for path, found in read.items()
    }
    return _reachable(made)


def _due(slot: Slot, read_by: list[Entry]) -> Stage:
    """Return the first stage at which a rule that reads a fact is due, but none before it can be told."""
    return max(slot.ask.due, min((entry.rule.due for entry in read_by), key=_rank), key=_rank)


def _rank(stage: Stage) -> int:
    return stage.rank


def _of_kinds(slot: Slot, conditions: All) -> All:
    """Return conditions with the kinds of work that a fact can be told of, unless a rule says already which it concerns."""
    if not slot.ask.kinds or any(atom.path == KIND for atom in conditions):
        return conditions
    return conditions | {Atom(KIND, tuple(sorted(slot.ask.kinds)))}


def entries(ruleset: Ruleset) -> Iterator[Entry]:
    """Yield the rules of a venue as the catalogue knows them."""
    for ways in ruleset.singles:
        yield from (bound.entry for bound in ways)
    yield from (bound.entry for bound in ruleset.sets)


def simplest(conditions: Iterable[All]) -> When:
    """Return the conditions of which any is enough, in as few as say the same.

    Two that differ in the values of one fact become one; one that is never met without another being met is left out.
    """
    made = set(conditions)
    while pair := next(_alike(sorted(made, key=in_order)), None):
        one, other, joined = pair
        made = (made - {one, other}) | {joined}
    return frozenset(one for one in made if not any(other != one and _implies(one, other) for other in made))


def in_order(one: All) -> list[tuple[str, str]]:
    """Return what conditions are sorted by, so that they are said in the same order always."""
    return sorted((atom.path, str(atom.values)) for atom in one)


def _alike(every: list[All]) -> Iterator[tuple[All, All, All]]:
    for place, one in enumerate(every):
        for other in every[place + 1 :]:
            mine, theirs = one - other, other - one
            if len(mine) == len(theirs) == 1:
                (a,), (b,) = mine, theirs
                if a.path == b.path and a.values is not None and b.values is not None:
                    both = tuple(sorted({*a.values, *b.values}, key=str))
                    yield one, other, (one & other) | {Atom(a.path, both)}


def _implies(one: All, other: All) -> bool:
    """Return whether the other holds wherever this one does."""
    return all(any(_within(mine, theirs) for mine in one) for theirs in other)


def _within(mine: Atom, theirs: Atom) -> bool:
    if mine.path != theirs.path:
        return False
    return theirs.values is None or (mine.values is not None and set(mine.values) <= set(theirs.values))


def _reads(entry: Entry) -> set[Slot]:
    return {*entry.slots, *entry.among, *(slot for slots, _ in entry.conditions for slot in slots)}


def _atoms(entry: Entry, places: list[list[Any]], wall_start: int) -> All | None:
    """Return what must be so of a work for the rule to concern it; None where no place of the venue lets it."""
    made = []
    for slots, allowed in entry.conditions:
        for slot in slots:
            if slot.index >= wall_start:
                if not any(_may_be(place[slot.index - wall_start], allowed) for place in places):
                    return None
            else:
                made.append(Atom(slot.path, None if allowed is None else tuple(sorted(allowed, key=str))))
    return frozenset(made)


def _may_be(value: Any, allowed: frozenset[Any] | None) -> bool:
    """Return whether a fact of a place may be as a rule wants it; one that is not known may still be, unless being known is what counts."""
    if allowed is None or value is None:
        return value is None if allowed is not None else value is not None
    return bool(allowed.intersection(value)) if type(value) is tuple else value in allowed


def _reachable(found: Mapping[str, Concern]) -> dict[str, Concern]:
    """Return the concerns in an order in which each can come up: facts that would wait for each other wait for none.

    Two ways of measuring are compared where both are given; on a form, one that is only read there may be given at any time.
    """
    reached: set[str] = set()
    waiting = dict(found)
    while waiting:
        ready = {path for path, one in waiting.items() if any(all(atom.path in reached for atom in each) for each in one.when)}
        if not ready:
            return dict(found) | {path: _unbound(one) for path, one in waiting.items()}
        reached |= ready
        for path in ready:
            del waiting[path]
    return dict(found)


def _unbound(one: Concern) -> Concern:
    when = simplest(frozenset(atom for atom in each if atom.values is not None) for each in one.when)
    return msgspec.structs.replace(one, when=when)
