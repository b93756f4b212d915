"""The form: the schema of one work as the wire takes it, with everything beside each fact that a form shows.

It accepts what ``POST /evaluations`` accepts as a work and nothing else, whatever matters or does not: facts that do not concern a work
are only not shown. What is standard is said in the standard's words (JSON Schema 2020-12); the rest stands under names that begin with
``x-``, which every validator passes over.
"""

from collections.abc import Mapping
from typing import Any

from hangworthy.contract.effect import Stage
from hangworthy.contract.quantities import units_accepted
from hangworthy.contract.work import WorkFacts
from hangworthy.engine.language import Language
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import AS_WRITTEN, Slot
from hangworthy.forms.concern import ALWAYS, Concern, When, concerns
from hangworthy.forms.conditions import at, condition, listed
from hangworthy.forms.groups import groups
from hangworthy.intake import wire_schema

Json = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def form_schema(ruleset: Ruleset, stage: Stage | None = None) -> Json:
    """Return the form of a venue in the ruleset's language; what is due at ``stage`` comes first."""
    schema, language = ruleset.schema, ruleset.language
    asked = _asked(ruleset)
    slots = {slot.path: slot for slot in language.slots if slot.index < schema.wall_start}
    wire = wire_schema(schema.work)
    work = wire["$defs"]["Work"]
    shown = groups(language, [slot for slot in slots.values() if slot.path in asked], asked, stage)
    order = {pointer: place for place, pointer in enumerate(fact for group in shown for part in group["parts"] for fact in part["facts"])}
    _describe(work, "", slots, ruleset, asked, order)
    sections = {name for name, *_ in schema.sections}
    for name in sections:
        work["properties"][name] = _section(wire, name, language)
        _describe(work["properties"][name]["anyOf"][0], f"{name}.", slots, ruleset, asked, order)
    work["properties"][AS_WRITTEN] = _free_text(wire)
    return {
        "$schema": DIALECT,
        "title": language.voice.form_title,
        "description": language.voice.form_about,
        "type": "object",
        "required": work["required"],
        "additionalProperties": False,
        "properties": work["properties"],
        "allOf": _matters(asked, ruleset),
        "x-language": language.code,
        "x-venue": ruleset.venue.name,
        "x-venue-version": ruleset.venue.version,
        "x-stage": None if stage is None else stage.value,
        "x-groups": shown,
    }


def _asked(ruleset: Ruleset) -> dict[str, Concern]:
    """Return why each fact is asked for: for a rule, or, of the work itself, to know it by."""
    asked = concerns(ruleset)
    for name in WorkFacts.asks:
        asked.setdefault(name, Concern((), next(iter(Stage)), ALWAYS))
    if not ruleset.places:
        asked.pop("wall_name", None)  # there is none to choose from
    return asked


def _section(wire: Json, name: str, language: Language) -> Json:
    """Return the schema of a section in place of the reference to it."""
    title = language.sections[name]
    return {"title": title, "anyOf": [{"title": title, **_referred(wire, name)}, {"type": "null"}]}


def _free_text(wire: Json) -> Json:
    """Return the schema of the texts that a work may bring in place of facts. They are no facts, so no group lists them."""
    about = wire["$defs"]["Work"]["properties"][AS_WRITTEN]["description"]
    return {"description": about, "anyOf": [_referred(wire, AS_WRITTEN), {"type": "null"}]}


def _referred(wire: Json, name: str) -> Json:
    """Return what a work's property refers to: a form stands alone."""
    given = wire["$defs"]["Work"]["properties"][name]
    fields = wire["$defs"][given["anyOf"][0]["$ref"].rpartition("/")[2]]
    return {key: fields[key] for key in _SHAPE}


_SHAPE = ("type", "additionalProperties", "properties")


def _describe(
    fields: Json, head: str, slots: Mapping[str, Slot], ruleset: Ruleset, asked: Mapping[str, Concern], order: Mapping[str, int]
) -> None:
    """Put what a form shows beside every fact of a section."""
    for name, wire in fields["properties"].items():
        slot = slots.get(head + name)
        if slot is not None:
            fields["properties"][name] = _fact(slot, wire, ruleset, asked.get(slot.path), order.get(slot.pointer))


def _fact(slot: Slot, wire: Json, ruleset: Ruleset, why: Concern | None, place: int | None) -> Json:
    ask = slot.ask
    made: Json = {"title": ask.title, "description": " ".join((ask.prompt, ask.how)).strip(), **_shape(slot, wire, ruleset)}
    made |= {"x-fact": slot.pointer, "x-kind": slot.kind, "x-prompt": ask.prompt, "x-asked-of": ask.asked_of}
    if ask.how:
        made["x-how"] = ask.how
    if slot.unit:
        made |= {"x-unit": slot.unit, "x-units-accepted": list(units_accepted(slot.unit))}
    if ask.private:
        made["x-private"] = True
    made["x-asked"] = why is not None
    if why is not None:
        made |= {"x-due": why.due.value, "x-order": place, "x-rules": list(why.rules)}
        if why.when != ALWAYS:
            made["x-when"] = listed(why.when)
    return made


def _shape(slot: Slot, wire: Json, ruleset: Ruleset) -> Json:
    """Return what the wire takes, with a label for each choice."""
    if slot.path == "wall_name":
        return {"anyOf": [*([{"enum": sorted(ruleset.places)}] if ruleset.places else []), {"type": "null"}]}
    shape = {name: value for name, value in wire.items() if name not in _WORDS and not name.startswith("x-") and name != "default"}
    labels = ruleset.language.labels.get(slot.path, {})
    ways = [_labelled(way, slot, labels, ruleset) for way in shape.get("anyOf", [])]
    return {**shape, "anyOf": ways} if ways else shape


_WORDS = ("title", "description")


def _labelled(way: Json, slot: Slot, labels: Mapping[str, str], ruleset: Ruleset) -> Json:
    voice = ruleset.language.voice
    if "items" in way:
        return {**way, "items": _element(way["items"], slot, labels, ruleset)}
    if "enum" in way:  # in the order in which the choices are declared, which is the one to show
        return {"oneOf": [{"const": value, "title": labels[value]} for value in slot.choices]}
    if way.get("type") == "boolean":
        return {"type": "boolean", "oneOf": [{"const": True, "title": voice.yes}, {"const": False, "title": voice.no}]}
    return {**way, "description": voice.form_quantity} if slot.kind == "number" and way.get("type") == "string" else way


def _element(items: Json, slot: Slot, labels: Mapping[str, str], ruleset: Ruleset) -> Json:
    if "anyOf" in items:
        return {**items, "anyOf": [_labelled(way, slot, labels, ruleset) for way in items["anyOf"]]}
    return _labelled(items, slot, labels, ruleset)


def _matters(asked: Mapping[str, Concern], ruleset: Ruleset) -> list[Json]:
    """Return which facts matter when: ``then`` holds for every value, and notes ``x-matters`` at the facts."""
    together: dict[When, list[str]] = {}
    for path, why in asked.items():
        if why.when != ALWAYS:
            together.setdefault(why.when, []).append(path)
    made = []
    for when, paths in together.items():
        properties: Json = {}
        for path in paths:
            _merge(properties, at(path, {"x-matters": True})["properties"])
        made.append({"if": condition(when, ruleset.schema), "then": {"properties": properties}})
    return made


def _merge(into: Json, more: Json) -> None:
    for name, value in more.items():
        if isinstance(value, dict) and isinstance(into.get(name), dict):
            _merge(into[name], value)
        else:
            into[name] = value
