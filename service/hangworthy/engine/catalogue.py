"""The catalogue: installed packs, checked against the contract and against each other, and the schema they compose."""

import re
from collections.abc import Iterable, Mapping

import msgspec

from hangworthy.contract.drawing import Sketch
from hangworthy.contract.effect import Effect, Stage
from hangworthy.contract.facts import Section
from hangworthy.contract.pack import API, RulePack
from hangworthy.contract.rule import Rule
from hangworthy.contract.source import Source
from hangworthy.contract.venue import WallFacts
from hangworthy.contract.work import SHARED_SECTIONS, WorkFacts
from hangworthy.engine.fault import Fault, PackFaults
from hangworthy.engine.language import Language
from hangworthy.engine.schema import Schema, SchemaError, compose
from hangworthy.engine.signature import BadSignature, Entry, read_signature
from hangworthy.engine.sketches import SketchEntry, read_sketch
from hangworthy.engine.template import Template

MOST_WORKS = 500
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*\Z")


class Installed(msgspec.Struct, frozen=True, kw_only=True):
    """A pack with its origin: distribution, version and fingerprint as the host found them, the rules that have cases, its texts."""

    pack: RulePack
    distribution: str = ""
    fingerprint: str = ""
    case_names: frozenset[str] = frozenset()
    texts: Mapping[str, str] = {}


class Catalogue(msgspec.Struct, frozen=True):
    """Checked packs: what can be asked, by whom, and the composed schema. Order is by code and way of measuring, always.

    ``fits`` are the functions by which packs say into which stock frames a work goes. ``spoken`` holds the languages that were made of
    it so far (``engine/languages.py``).
    """

    installed: tuple[Installed, ...]
    schema: Schema
    entries: tuple[Entry, ...]
    faults: tuple[Fault, ...] = ()
    sketches: tuple[SketchEntry, ...] = ()
    spoken: dict[str, Language] = {}
    fits: tuple[Entry, ...] = ()


def build_catalogue(installed: Iterable[Installed], faults: Iterable[Fault] = (), *, tolerate: bool = False) -> Catalogue:
    """Check packs and compose them.

    With ``tolerate`` a pack at fault is left out and its faults are kept in the catalogue (every outcome is then unsettled);
    otherwise PackFaults is raised with all of them.
    """
    found = list(faults)
    kept = _distinct(sorted(installed, key=lambda one: (one.pack.name, one.distribution)), found)
    kept = [one for one in kept if not _note(found, one, _pack_faults(one))]
    while True:
        schema, kept = _compose(kept, found)
        signed = [_signed(one, schema) for one in kept]
        good = [one for one, its in zip(kept, signed, strict=True) if not _note(found, one, its.wrong)]
        if len(good) == len(kept):
            break
        kept = good  # once more: a pack may have named facts of one that was left out, and so be at fault as well
    if found and not tolerate:
        raise PackFaults(found)
    entries = [entry for its in signed for entry in its.entries]
    entries.sort(key=lambda entry: (entry.code, entry.rule.prefer, entry.rule.by))
    fits = tuple(its.fits for its in signed if its.fits is not None)
    sketches = tuple(entry for its in signed for entry in its.sketches)
    return Catalogue(tuple(good), schema, tuple(entries), tuple(found), sketches=sketches, fits=fits)


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
        return [*wrong, ("bad-rule", f"pack {pack.name} lists something that is no rule; decorate the function with @rule(...)")]
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
    for text in (words.met, words.unmet, words.bench, words.either, *remedies):
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
    try:  # all at once, as they nearly always fit; only where they do not, one after the other, to find which
        return compose(WorkFacts, WallFacts, _sections(packs), Stage, MOST_WORKS), packs
    except (SchemaError, TypeError, NameError):
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


class _Signed(msgspec.Struct):
    """What the signatures of one pack say against a schema, and what is wrong with them."""

    entries: list[Entry] = []
    fits: Entry | None = None
    sketches: list[SketchEntry] = []
    wrong: list[tuple[str, str]] = []


def _signed(one: Installed, schema: Schema) -> _Signed:
    """Read the signatures of a pack's rules, of what says which frame fits, and of its sketches, against the schema."""
    signed, pack = _Signed(), one.pack
    for rule in (*pack.rules, *([pack.fits] if pack.fits is not None else ())):
        try:
            entry = read_signature(pack, rule, schema)
        except BadSignature as error:
            signed.wrong.append((error.kind, f"rule {pack.name}.{rule.name}: {error}"))
            continue
        if rule is pack.fits:
            signed.fits = entry
        else:
            signed.entries.append(entry)
    for sketch in pack.drawings:
        given: object = sketch  # an outside pack need not have been type-checked
        if not isinstance(given, Sketch):
            text = f"pack {pack.name} lists a drawing that is none; decorate the function with @sketch(...)"
            signed.wrong.append(("bad-drawing", text))
            continue
        try:
            signed.sketches.append(read_sketch(pack, sketch, schema))
        except BadSignature as error:
            signed.wrong.append((error.kind, f"drawing {pack.name}.{sketch.name}: {error}"))
    return signed
