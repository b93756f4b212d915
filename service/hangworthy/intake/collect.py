"""Collecting: every fault of a decoded body at once, each with its JSON Pointer. Runs only when the fast way has failed."""

from collections.abc import Callable, Iterator, Mapping
from copy import copy
from functools import partial
from typing import Any

import msgspec
from jsonschema import Draft202012Validator, FormatChecker

from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import LANGUAGES
from hangworthy.engine.catalogue import MOST_WORKS
from hangworthy.engine.reading import nearest
from hangworthy.engine.schema import AS_WRITTEN, LIST_LENGTH, Schema, Slot
from hangworthy.intake import wording
from hangworthy.intake.faults import MOST_FAULTS, FaultList, pointer_of, quote
from hangworthy.intake.free_text import check_line
from hangworthy.intake.shape import wire_schema

_FORMATS = FormatChecker(())
_FORMATS.checks("date")(lambda value: not isinstance(value, str) or wording.is_day(value))
_ABSENT = object()

Path = tuple[Any, ...]


class Collector:
    """Finds every fault that the composed JSON Schema sees, and gives back what can still be read of each work."""

    def __init__(self, schema: Schema) -> None:
        """Prepare the validator of one work."""
        self.schema = schema
        self.sections = {name for name, *_ in schema.sections}
        definitions = wire_schema(schema.request)["$defs"]
        self.names = {"": list(definitions["Work"]["properties"])}
        for name in self.sections:
            way = definitions["Work"]["properties"][name]["anyOf"][0]
            self.names[name] = list(definitions[way["$ref"].rpartition("/")[2]]["properties"])
            # "anyOf" would hide the places inside a section; "else" keeps each with its own path
            definitions["Work"]["properties"][name] = {"if": {"type": "null"}, "else": way}
        definitions["Work"]["properties"][AS_WRITTEN] = {}  # its texts have words of their own
        root = {"$ref": "#/$defs/Work", "$defs": definitions}
        self.validator = Draft202012Validator(root, format_checker=_FORMATS)

    def collect(self, value: Any, faults: FaultList) -> list[Any]:
        """Add every fault; return the works as far as they can be read, one for each given (its ref a stand-in where it has none)."""
        if not isinstance(value, dict):
            faults.add("", 'The body must be an object such as {"works": [{"ref": "a-1"}]}.')
            return []
        self._top(value, faults)
        works = value.get("works", _ABSENT)
        if works is _ABSENT:
            faults.add("/works", "The list of works is missing; a request needs at least one work.")
        elif not isinstance(works, list) or not works:
            faults.add("/works", "The works must be a list of at least one work, in square brackets.")
        else:
            if len(works) > MOST_WORKS:
                faults.add("/works", f"One request takes at most {MOST_WORKS} works; {len(works)} were given. Send several requests.")
            return [self.work(place, work, faults) for place, work in enumerate(works[:MOST_WORKS])]
        return []

    def _top(self, value: Mapping[str, Any], faults: FaultList) -> None:
        """Check what stands beside the works."""
        stages = tuple(stage.value for stage in Stage)
        if value.get("stage", stages[0]) not in stages:
            faults.add("/stage", wording.choose("The stage", value["stage"], stages))
        venue = value.get("venue")
        if venue is not None and not (isinstance(venue, str) and 1 <= len(venue) <= 80):
            faults.add("/venue", "The venue must be the name of a venue, a text of 1 to 80 characters.")
        language = value.get("language")
        if language is not None and language not in LANGUAGES:
            faults.add("/language", wording.choose("The language", language, LANGUAGES))
        known = ["works", "stage", "venue", "language"]
        strays = [name for name in value if name not in known]
        for name in strays[:MOST_FAULTS]:
            facts = " Facts of a work belong inside “works”." if name in self.names[""] else ""
            faults.add(pointer_of((name,)), f"A request has no field {quote(name)}.{facts or nearest(name, known)}")
        faults.count(max(0, len(strays) - MOST_FAULTS))

    def work(self, place: int, work: Any, faults: FaultList) -> Any:
        """Check one work; return it without what is wrong in it."""
        start: Path = ("works", place)
        good = self._shortened(start, work, faults) if isinstance(work, dict) else {}
        for error in self.validator.iter_errors(good if isinstance(work, dict) else work):
            path = tuple(error.absolute_path)
            for where, sentence in self._said(path, error, faults.full):
                faults.add(pointer_of(start + where), sentence)
            if path and error.validator != "additionalProperties":
                good = _without(good, path[:2] if path[0] in self.sections and len(path) > 1 else path[:1])
        if good.get(AS_WRITTEN) is not None and not check_line((*start, AS_WRITTEN), good[AS_WRITTEN], faults):
            good = _without(good, (AS_WRITTEN,))
        return self._readable(place, self._known_only(good))

    def _shortened(self, start: Path, work: dict[str, Any], faults: FaultList) -> dict[str, Any]:
        """Leave out lists that are far too long, and say so: the validator would look at each of a million items."""
        owners = [(), *((name,) for name in self.sections if isinstance(work.get(name), dict))]
        for owner in owners:
            for name, value in (work[owner[0]] if owner else work).items():
                if not isinstance(value, list) or len(value) <= LIST_LENGTH:
                    continue
                if slot := self._slot((*owner, name)):
                    faults.add(pointer_of((*start, *owner, name)), wording.length(slot, value))
                    work = _without(work, (*owner, name))
        return work

    def _said(self, path: Path, error: Any, full: bool) -> Iterator[tuple[Path, str | Callable[[], str]]]:
        """Yield place and sentence for an error that the validator found; where the list is full, places are enough."""
        section = path[0] if path and path[0] in self.sections else ""
        if error.validator == "additionalProperties":
            for name in error.instance:
                if name not in self.names[section]:
                    yield (*path, name), partial(wording.unknown_name, name, section, self.names[section], self.schema)
        elif error.validator == "required":
            for name in error.validator_value:
                if name not in error.instance:
                    slot = self._slot((*path, name))
                    yield (*path, name), f"{slot.ask.title if slot else quote(name)} is missing. {slot.ask.prompt if slot else ''}".strip()
        elif (slot := self._slot(path)) and full:
            yield _fact_path(path, slot), ""
        elif slot:
            fact = _at(error.instance, path, slot)
            yield from (
                ((*_fact_path(path, slot), *([] if item is None else [item])), said)
                for item, said in wording.misfits(slot, fact, self.schema)
            )
        elif section:
            yield path, f"“{section}” must be an object of facts, in curly brackets; leave it out if nothing is known."
        else:
            yield path, 'A work must be an object such as {"ref": "a-1"}, in curly brackets.'

    def _slot(self, path: Path) -> Slot | None:
        for length in (2, 1):
            found = self.schema.by_path.get(".".join(map(str, path[:length])))
            if found is not None and len(path) >= length:
                return found
        return None

    def _known_only(self, work: Mapping[str, Any]) -> dict[str, Any]:
        """Return a work without fields that are not known."""
        kept = {name: value for name, value in work.items() if name in self.names[""]}
        for section in self.sections & kept.keys():
            if isinstance(kept[section], dict):
                kept[section] = {name: value for name, value in kept[section].items() if name in self.names[section]}
        return kept

    def _readable(self, place: int, work: dict[str, Any]) -> Any:
        """Return the decoded work, or one that holds nothing but a stand-in for its ref."""
        stand_in = f"\0{place}"
        try:
            return msgspec.convert({"ref": stand_in, **work}, self.schema.work)
        except (msgspec.ValidationError, ValueError, OverflowError):
            return self.schema.work(ref=stand_in)


def _fact_path(path: Path, slot: Slot) -> Path:
    return path[: 2 if "." in slot.path else 1]


def _at(instance: Any, path: Path, slot: Slot) -> Any:
    """Return the value of the whole fact; the validator reports facts whole, since each may be null."""
    return instance if len(path) == len(_fact_path(path, slot)) else [instance]


def _without(work: Mapping[str, Any], path: Path) -> dict[str, Any]:
    """Return a copy of a work in which what stands at the path is left out."""
    made = dict(work)
    if len(path) == 1:
        made.pop(path[0], None)
    elif isinstance(made.get(path[0]), dict):
        made[path[0]] = copy(made[path[0]])
        made[path[0]].pop(path[1], None)
    return made
