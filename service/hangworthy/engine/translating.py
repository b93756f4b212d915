"""Translating: another language of a catalogue, made of the English one and of the texts that lie beside the packs."""

import hashlib
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

import hangworthy.contract
from hangworthy.contract.effect import Effect
from hangworthy.contract.facts import Ask, Section
from hangworthy.contract.languages import own_texts
from hangworthy.contract.rule import Rule, Words
from hangworthy.contract.venue import VENUE_LISTS
from hangworthy.engine.catalogue import Catalogue, Installed
from hangworthy.engine.fault import Fault
from hangworthy.engine.language import Language, Wording, label
from hangworthy.engine.languages import HOST
from hangworthy.engine.schema import Schema, Slot
from hangworthy.engine.signature import Entry
from hangworthy.engine.terms import Terms
from hangworthy.engine.texts import Origin, Texts, read_texts, remedy_in, sentences, way
from hangworthy.engine.translated import TranslatedVoice, voice_in

_READINGS = "hangworthy.readings"  # named, not imported: the readers take longer to import than their texts, and most works come without


def translated(catalogue: Catalogue, plain: Language, code: str) -> tuple[Language, list[Fault]]:
    """Return a catalogue's language made of the English one, and what is wrong in the files of its texts.

    Raises FileNotFoundError for a language that the host itself does not speak.
    """
    voice, own = voice_in(code)
    shared = own_texts(hangworthy.contract.__name__, code)
    readings = own_texts(_READINGS, code)
    host, wrong = read_texts(shared, host_origin(catalogue.schema))
    faults = [Fault("bad-texts", f"the contract's texts in {code}: {text}") for text in wrong]
    packs: dict[str, Texts] = {}
    digest = hashlib.sha256(f"{own}\0{shared}\0{readings}".encode())
    for one in catalogue.installed:
        written = one.texts.get(code, "")
        packs[one.pack.name], wrong = read_texts(written, origin_of(one, catalogue.schema))
        faults += [
            Fault("bad-texts", f"pack {one.pack.name}, its texts in {code}: {text}", one.pack.name, one.distribution, one.pack.version)
            for text in wrong
        ]
        digest.update(f"\0{one.pack.name}\0{written}".encode())
    made = _Maker(plain, voice, host, packs).language(code, catalogue, digest.hexdigest()[:16])
    return msgspec.structs.replace(made, readings=tomllib.loads(readings)["rules"]), faults


def origin_of(one: Installed, schema: Schema) -> Origin:
    """Return what a pack's texts may translate."""
    pack = one.pack
    facts = _asks(pack.sections)
    return Origin(facts, _choices(facts, schema), pack.sections, pack.rules, pack.limits.declared, pack.drawings)


def host_origin(schema: Schema) -> Origin:
    """Return what the contract's texts may translate."""
    lists = {f"venue.{name}": schema.by_path[f"venue.{name}"].ask for name in VENUE_LISTS}
    facts = {**_asks(HOST), **lists}
    return Origin(facts, _choices(facts, schema), [name or "work" for name in HOST])


def _asks(sections: Mapping[str, type[Section]]) -> dict[str, Ask]:
    return {f"{name}.{fact}" if name else fact: asked for name, cls in sections.items() for fact, asked in cls.asks.items()}


def _choices(facts: Iterable[str], schema: Schema) -> dict[str, tuple[str, ...]]:
    return {path: schema.by_path[path].choices for path in facts if schema.by_path[path].choices}


class _Maker:
    """Makes one language out of the English and the texts."""

    def __init__(self, plain: Language, voice: TranslatedVoice, host: Texts, packs: Mapping[str, Texts]) -> None:
        self.plain, self.voice, self.host, self.packs = plain, voice, host, packs
        self.every = (host, *packs.values())

    def language(self, code: str, catalogue: Catalogue, fingerprint: str) -> Language:
        slots = tuple(map(self._slot, self.plain.slots))
        labels = {path: {**own, **dict(self._all("choices", path))} for path, own in self.plain.labels.items()}
        limits = {f"{pack}.{name}": text for pack, texts in self.packs.items() for name, text in texts.limits.items() if text}
        sections = {name: text for texts in reversed(self.every) for name, text in texts.sections.items() if text}
        return Language(
            code=code,
            voice=self.voice,
            slots=slots,
            wordings={(entry.code, entry.rule.by): self._wording(entry, labels) for entry in (*catalogue.entries, *catalogue.fits)},
            labels=labels,
            sections={**self.plain.sections, **sections},
            limits={**self.plain.limits, **limits},
            drawings={f"{pack}.{name}": told for pack, texts in self.packs.items() for name, told in texts.drawings.items()},
            fingerprint=fingerprint,
        )

    def _all(self, part: str, path: str) -> Iterator[tuple[str, str]]:
        for texts in self.every:
            yield from ((name, text) for name, text in getattr(texts, part).get(path, {}).items() if text)

    def _slot(self, slot: Slot) -> Slot:
        told: dict[str, Any] = dict(self._all("facts", slot.path))
        return msgspec.structs.replace(slot, ask=msgspec.structs.replace(slot.ask, **told)) if told else slot

    def _wording(self, entry: Entry, labels: Mapping[str, Mapping[str, str]]) -> Wording:
        rule, pack = entry.rule, self.packs[entry.pack.name]
        told = {**pack.rules.get(rule.name, {}), **pack.rules.get(way(rule), {})}
        # A check may put a choice into its sentence as it is; unless a term says otherwise, that is shown as the form shows it.
        chosen = {value: text for slot in entry.slots for value, text in labels.get(slot.path, {}).items() if text != label(value)}
        terms = Terms({**chosen, **self.host.terms, **pack.terms, **told.get("terms", {})}, self.voice.figures, self.voice.joins)
        cautions = {**self.host.cautions, **pack.cautions}
        return Wording(
            told.get("question", rule.question),
            self._words(rule, told),
            tuple(told.get("cautions") or (cautions.get(one, one) for one in rule.cautions)),
            terms,
            told.get("by", "") if rule.by else "",
        )

    def _words(self, rule: Rule, told: Mapping[str, Any]) -> Words:
        words = rule.words
        own = sentences(words.remedy)
        better = words.better if words.better != _BETTER else self.host.better or words.better
        return Words(
            measure=told.get("measure", words.measure),
            met=told.get("met", words.met),
            unmet=told.get("unmet", words.unmet),
            remedy={effect: remedy_in(told.get("remedy", {}), effect, own.get(effect.value, own.get("", ""))) for effect in Effect},
            better=told.get("better", better),
            bench=told.get("bench", words.bench),
            either=told.get("either", words.either),
        )


_BETTER = Words(measure="", met="", unmet="", remedy="").better
