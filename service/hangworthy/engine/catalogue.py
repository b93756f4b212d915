"""The catalogue: installed packs, checked against the contract and against each other, and the schema they compose."""

import inspect
import re
from collections.abc import Iterable, Mapping
from typing import Any, get_type_hints

import msgspec

from hangworthy.contract.effect import Effect, Stage
from hangworthy.contract.facts import Section
from hangworthy.contract.limits import Limits
from hangworthy.contract.pack import API, RulePack
from hangworthy.contract.rule import FactRef, Given, Rule, Where
from hangworthy.contract.source import Source
from hangworthy.contract.venue import StockFrame, WallFacts
from hangworthy.contract.work import SHARED_SECTIONS, WorkFacts
from hangworthy.engine.fault import Fault, PackFaults
from hangworthy.engine.reading import nearest
from hangworthy.engine.schema import Schema, SchemaError, Slot, compose
from hangworthy.engine.template import Template

MOST_WORKS = 500
MOST_TRIES = 64
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*\Z")
_FRAMES = tuple[StockFrame, ...]


class Installed(msgspec.Struct, frozen=True, kw_only=True):
    """A pack with its origin: distribution, version and fingerprint as the host found them, and the rules that have cases."""

    pack: RulePack
    distribution: str = ""
    fingerprint: str = ""
    case_names: frozenset[str] = frozenset()


class Entry(msgspec.Struct, frozen=True):
    """One rule with everything its signature says: slot per fact, and which of them are optional or tried."""

    code: str
    pack: RulePack
    rule: Rule
    takes_limits: bool
    slots: tuple[Slot, ...]
    optional: tuple[bool, ...]
    tried: tuple[bool, ...]
    conditions: tuple[tuple[tuple[Slot, ...], frozenset[Any] | None], ...]
    among: tuple[Slot, ...]


class Catalogue(msgspec.Struct, frozen=True):
    """Checked packs: what can be asked, by whom, and the composed schema. Order is by code and way of measuring, always."""

    installed: tuple[Installed, ...]
    schema: Schema
    entries: tuple[Entry, ...]
    faults: tuple[Fault, ...] = ()


def build_catalogue(installed: Iterable[Installed], faults: Iterable[Fault] = (), *, tolerate: bool = False) -> Catalogue:
    """Check packs and compose them.

    With ``tolerate`` a pack at fault is left out and its faults are kept in the catalogue (every outcome is then unsettled);
    otherwise PackFaults is raised with all of them.
    """
    found = list(faults)
    kept = _distinct(sorted(installed, key=lambda one: (one.pack.name, one.distribution)), found)
    kept = [one for one in kept if not _note(found, one, _pack_faults(one))]
    schema, kept = _compose(kept, found)
    good = [one for one in kept if not _note(found, one, _bind(one, schema)[1])]
    while len(good) < len(kept):  # a pack may have named facts of one that was left out, and so be at fault as well
        schema, kept = _compose(good, found)
        good = [one for one in kept if not _note(found, one, _bind(one, schema)[1])]
    if found and not tolerate:
        raise PackFaults(found)
    entries = [entry for one in good for entry in _bind(one, schema)[0]]
    entries.sort(key=lambda entry: (entry.code, entry.rule.prefer, entry.rule.by))
    return Catalogue(tuple(good), schema, tuple(entries), tuple(found))


def _note(found: list[Fault], one: Installed, messages: list[tuple[str, str]]) -> bool:
    """Record faults of a pack; return whether there were any."""
    found += [Fault(kind, text, one.pack.name, one.distribution, one.pack.version) for kind, text in messages]
    return bool(messages)


def _distinct(installed: list[Installed], found: list[Fault]) -> list[Installed]:
    """Leave out every pack whose name another one also claims: neither can be trusted to be the one that is meant."""
    names: dict[str, list[Installed]] = {}
    for one in installed:
        names.setdefault(one.pack.name, []).append(one)
    for name, claims in names.items():
        if len(claims) > 1:
            origins = " and ".join(f"{one.distribution or 'a pack given by hand'} {one.pack.version}" for one in claims)
            found.append(Fault("duplicate-pack", f"pack {name} is provided by {origins}; uninstall all but one", name))
    return [claims[0] for claims in names.values() if len(claims) == 1]


def _pack_faults(one: Installed) -> list[tuple[str, str]]:
    """Return what is wrong with a pack on its own, before its facts are composed."""
    pack = one.pack
    if pack.api > API:
        return [("too-new", f"pack {pack.name} wants contract {pack.api}, this host offers {API}; upgrade the host")]
    wrong: list[tuple[str, str]] = []
    if not _NAME.match(pack.name):
        wrong.append(("bad-name", f"pack name {pack.name!r} must be lower-case words joined by hyphens"))
    if not pack.version or not pack.rules:
        wrong.append(("empty-pack", f"pack {pack.name} needs a version and at least one rule"))
    if any(not isinstance(rule, Rule) for rule in pack.rules):
        return [*wrong, ("no-rule", f"pack {pack.name} lists something that is no rule; decorate the function with @rule(...)")]
    seen: set[tuple[str, str]] = set()
    for rule in pack.rules:
        where = f"rule {pack.name}.{rule.name}"
        if (rule.name, rule.by) in seen:
            wrong.append(("duplicate-rule", f"{where} is there twice; give each way of measuring its own “by”"))
        seen.add((rule.name, rule.by))
        wrong += [(kind, f"{where}{text}") for kind, text in _rule_faults(rule, one.case_names)]
    return wrong


def _rule_faults(rule: Rule, case_names: frozenset[str]) -> list[tuple[str, str]]:
    wrong = []
    if not _NAME.match(rule.name):
        wrong.append(("bad-name", " must be named by lower-case words joined by hyphens"))
    if not rule.question.endswith("?"):
        wrong.append(("no-docstring", " needs a docstring whose first line is the question it answers, with its question mark"))
    source: object = rule.source  # an outside pack need not have been type-checked
    if not isinstance(source, Source):
        wrong.append(("no-source", " needs a source: published(...), COMMON_PRACTICE or OWN_POLICY"))
    if not rule.effects or not all(isinstance(effect, Effect) for effect in rule.effects):
        wrong.append(("no-effect", " needs an effect"))
    wrong += _word_faults(rule)
    if rule.name not in case_names:
        wrong.append(("no-case", f" has no cases; add cases/{rule.name}.toml with pass, fail, edge and unknown"))
    return wrong


def _word_faults(rule: Rule) -> list[tuple[str, str]]:
    words = rule.words
    remedies = [words.remedy] if isinstance(words.remedy, str) else list(words.remedy.values())
    for text in (words.met, words.unmet, words.bench, *remedies):
        try:
            Template(text)
        except ValueError as error:
            return [("bad-words", f" has a sentence that cannot be filled, “{text[:60]}”: {error}")]
    return []


def _sections(packs: list[Installed]) -> dict[str, list[type[Section]]]:
    sections: dict[str, list[type[Section]]] = {name: [cls] for name, cls in SHARED_SECTIONS.items()}
    for one in packs:
        for name, cls in one.pack.sections.items():
            sections.setdefault(name, []).append(cls)
    return sections


def _compose(packs: list[Installed], found: list[Fault]) -> tuple[Schema, list[Installed]]:
    """Compose the facts of all packs; a pack whose facts clash is left out and noted."""
    kept: list[Installed] = []
    schema = compose(WorkFacts, WallFacts, _sections([]), Stage, MOST_WORKS)
    for one in packs:
        try:
            schema = compose(WorkFacts, WallFacts, _sections([*kept, one]), Stage, MOST_WORKS)
        except (SchemaError, TypeError, NameError) as error:
            _note(found, one, [("bad-facts", f"pack {one.pack.name}, {error}")])
        else:
            kept.append(one)
    return schema, kept


def _bind(one: Installed, schema: Schema) -> tuple[list[Entry], list[tuple[str, str]]]:
    """Read each rule's signature against the schema."""
    entries: list[Entry] = []
    wrong: list[tuple[str, str]] = []
    for rule in one.pack.rules:
        where = f"rule {one.pack.name}.{rule.name}"
        try:
            entries.append(_entry(one.pack, rule, schema))
        except _Wrong as error:
            wrong.append((error.kind, f"{where}: {error}"))
    return entries, wrong


class _Wrong(Exception):
    def __init__(self, kind: str, text: str) -> None:
        self.kind = kind
        super().__init__(text)


def _entry(pack: RulePack, rule: Rule, schema: Schema) -> Entry:
    try:
        hints = get_type_hints(rule.function)
    except (NameError, TypeError, SyntaxError) as error:
        raise _Wrong("bad-signature", f"has an annotation that means nothing: {error}") from None
    takes_limits, refs = _signature(pack, rule, hints)
    slots = tuple(_fact(ref, name, hints.get(name), rule.over_set, schema) for name, ref in refs.items())
    for name in rule.uses:
        if name not in pack.limits.declared:
            raise _Wrong("no-limit", f"uses the limit {name}, which {pack.limits.__name__} does not declare")
    _count_tries(refs, slots)
    conditions = tuple(_condition(condition, schema) for condition in rule.applies)
    return Entry(
        f"{pack.name}.{rule.name}", pack, rule, takes_limits, slots,
        tuple(ref.optional for ref in refs.values()), tuple(ref.try_each for ref in refs.values()),
        conditions, tuple(_slot_at(path, schema) for path in rule.among),
    )  # fmt: skip


def _signature(pack: RulePack, rule: Rule, hints: Mapping[str, Any]) -> tuple[bool, dict[str, FactRef]]:
    """Return whether the rule takes the limits, and the facts its parameters name."""
    takes_limits, refs = False, {}
    for position, (name, parameter) in enumerate(inspect.signature(rule.function).parameters.items()):
        if isinstance(parameter.default, FactRef):
            refs[name] = parameter.default
            continue
        hint = hints.get(name)
        if position or not (isinstance(hint, type) and issubclass(hint, Limits)):
            raise _Wrong("bad-signature", f'parameter {name} names no fact; write {name}: … = fact("…")')
        if hint is not pack.limits:
            raise _Wrong("bad-signature", f"takes {hint.__name__}, but the pack's limits are {pack.limits.__name__}")
        takes_limits = True
    if not refs:
        raise _Wrong("bad-signature", "names no fact")
    return takes_limits, refs


def _slot_at(path: str, schema: Schema) -> Slot:
    if path not in schema.by_path:
        raise _Wrong("no-such-fact", f"there is no fact {path}.{nearest(path, list(schema.by_path))}")
    return schema.by_path[path]


def _fact(ref: FactRef, name: str, hint: Any, over_set: bool, schema: Schema) -> Slot:
    """Return the slot a parameter names; its annotation must be the type the fact is declared with."""
    slot = _slot_at(ref.path, schema)
    want: Any = _FRAMES if slot.kind == "frames" else slot.type
    if ref.optional:
        want = want | None
    if over_set:
        want = tuple[want, ...]
    if hint != want:
        raise _Wrong("wrong-type", f"{name} is annotated {_show(hint)}, but {ref.path} is {_show(want)}")
    if ref.try_each and (slot.answers is None or ref.optional or over_set):
        raise _Wrong("wrong-type", f"{ref.path} cannot be tried: only a single yes/no or choice of one work can")
    return slot


def _show(hint: Any) -> str:
    return hint.__name__ if isinstance(hint, type) and not hasattr(hint, "__args__") else str(hint).replace("typing.", "")


def _count_tries(refs: Mapping[str, FactRef], slots: tuple[Slot, ...]) -> None:
    tries = 1
    for ref, slot in zip(refs.values(), slots, strict=True):
        tries *= len(slot.answers or ()) if ref.try_each else 1
    if tries > MOST_TRIES:
        raise _Wrong("too-many-tries", f"would be tried {tries} times when its facts are missing; at most {MOST_TRIES}")


def _condition(condition: Any, schema: Schema) -> tuple[tuple[Slot, ...], frozenset[Any] | None]:
    """Return the slots a condition reads and the values it allows (None: being given is enough)."""
    if isinstance(condition, Given):
        return tuple(_slot_at(path, schema) for path in condition.paths), None
    if not isinstance(condition, Where):
        raise _Wrong("bad-condition", "applies must be where(...) or given(...)")
    slot = _slot_at(condition.path, schema)
    allowed = slot.answers
    if allowed is not None and (stray := [value for value in condition.values if value not in allowed]):
        raise _Wrong("bad-condition", f"{condition.path} is never {stray[0]!r}.{nearest(str(stray[0]), list(map(str, allowed)))}")
    return (slot,), frozenset(condition.values)
