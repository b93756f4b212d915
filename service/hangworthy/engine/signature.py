"""Signatures: what a rule's parameters say, read once against the composed schema."""

import inspect
from collections.abc import Mapping
from typing import Any, get_type_hints

import msgspec

from hangworthy.contract.limits import Limits
from hangworthy.contract.pack import RulePack
from hangworthy.contract.rule import FactRef, Given, Rule, RuleFunction, Where
from hangworthy.engine.reading import nearest
from hangworthy.engine.schema import Schema, Slot

MOST_TRIES = 64


class BadSignature(Exception):
    """A rule whose signature does not fit the schema; ``kind`` is the kind of fault."""

    def __init__(self, kind: str, text: str) -> None:
        self.kind = kind
        super().__init__(text)


class Entry(msgspec.Struct, frozen=True):
    """One rule with everything its signature says: slot per fact, and which of them are optional, tried, or taken as given."""

    code: str
    pack: RulePack
    rule: Rule
    takes_limits: bool
    slots: tuple[Slot, ...]
    optional: tuple[bool, ...]
    tried: tuple[bool, ...]
    as_given: tuple[bool, ...]
    conditions: tuple[tuple[tuple[Slot, ...], frozenset[Any] | None], ...]
    among: tuple[Slot, ...]


def read_signature(pack: RulePack, rule: Rule, schema: Schema) -> Entry:
    """Return what a rule's signature says. Raises BadSignature naming the path or the parameter at fault."""
    try:
        hints = get_type_hints(rule.function)
    except (NameError, TypeError, SyntaxError) as error:
        raise BadSignature("bad-signature", f"has an annotation that means nothing: {error}") from None
    takes_limits, refs = facts_named(pack, rule.function, hints)
    slots = tuple(fact_of(ref, name, hints.get(name), rule.over_set, schema) for name, ref in refs.items())
    for name in rule.uses:
        if name not in pack.limits.declared:
            raise BadSignature("no-limit", f"uses the limit {name}, which {pack.limits.__name__} does not declare")
    _count_tries(refs, slots)
    conditions = tuple(condition_of(condition, schema) for condition in rule.applies)
    return Entry(
        f"{pack.name}.{rule.name}", pack, rule, takes_limits, slots,
        tuple(ref.optional for ref in refs.values()), tuple(ref.try_each for ref in refs.values()),
        tuple(ref.as_given for ref in refs.values()),
        conditions, tuple(slot_at(path, schema) for path in rule.among),
    )  # fmt: skip


def facts_named(pack: RulePack, function: RuleFunction, hints: Mapping[str, Any]) -> tuple[bool, dict[str, FactRef]]:
    """Return whether a function takes the limits, and the facts its parameters name. Raises BadSignature."""
    takes_limits, refs = False, {}
    for position, (name, parameter) in enumerate(inspect.signature(function).parameters.items()):
        if isinstance(parameter.default, FactRef):
            refs[name] = parameter.default
            continue
        hint = hints.get(name)
        if position or not (isinstance(hint, type) and issubclass(hint, Limits)):
            raise BadSignature("bad-signature", f'parameter {name} names no fact; write {name}: … = fact("…")')
        if hint is not pack.limits:
            raise BadSignature("bad-signature", f"takes {hint.__name__}, but the pack's limits are {pack.limits.__name__}")
        takes_limits = True
    if not refs:
        raise BadSignature("bad-signature", "names no fact")
    return takes_limits, refs


def slot_at(path: str, schema: Schema) -> Slot:
    """Return the slot of a path. Raises BadSignature suggesting the nearest."""
    if path not in schema.by_path:
        raise BadSignature("no-such-fact", f"there is no fact {path}.{nearest(path, list(schema.by_path))}")
    return schema.by_path[path]


def fact_of(ref: FactRef, name: str, hint: Any, over_set: bool, schema: Schema) -> Slot:
    """Return the slot a parameter names; its annotation must be the type the fact is declared with."""
    slot = slot_at(ref.path, schema)
    want: Any = slot.type
    if ref.optional:
        want = want | None
    if over_set:
        want = tuple[want, ...]
    if hint != want:
        raise BadSignature("wrong-type", f"{name} is annotated {_show(hint)}, but {ref.path} is {_show(want)}")
    if ref.try_each and (slot.answers is None or ref.optional or over_set):
        raise BadSignature("wrong-type", f"{ref.path} cannot be tried: only a single yes/no or choice of one work can")
    return slot


def _show(hint: Any) -> str:
    return hint.__name__ if isinstance(hint, type) and not hasattr(hint, "__args__") else str(hint).replace("typing.", "")


def _count_tries(refs: Mapping[str, FactRef], slots: tuple[Slot, ...]) -> None:
    tries = 1
    for ref, slot in zip(refs.values(), slots, strict=True):
        tries *= len(slot.answers or ()) if ref.try_each else 1
    if tries > MOST_TRIES:
        raise BadSignature("too-many-tries", f"would be tried {tries} times when its facts are missing; at most {MOST_TRIES}")


def condition_of(condition: Any, schema: Schema) -> tuple[tuple[Slot, ...], frozenset[Any] | None]:
    """Return the slots a condition reads and the values it allows (None: being given is enough)."""
    if isinstance(condition, Given):
        return tuple(slot_at(path, schema) for path in condition.paths), None
    if not isinstance(condition, Where):
        raise BadSignature("bad-condition", "applies must be where(...) or given(...)")
    slot = slot_at(condition.path, schema)
    allowed = slot.answers
    if allowed is not None and (stray := [value for value in condition.values if value not in allowed]):
        raise BadSignature("bad-condition", f"{condition.path} is never {stray[0]!r}.{nearest(str(stray[0]), list(map(str, allowed)))}")
    return (slot,), frozenset(condition.values)
