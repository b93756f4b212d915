"""The composed schema: sections of facts become one typed submission, and one list of slots that rules are bound to."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from operator import attrgetter
from typing import Annotated, Any, Literal, get_args, get_origin

import msgspec
from msgspec import Meta

from hangworthy.contract.facts import READABLE, Ask, Section
from hangworthy.contract.languages import LanguageCode
from hangworthy.contract.quantities import unit_of, units_accepted
from hangworthy.contract.reading import AsWritten
from hangworthy.contract.venue import VENUE_LISTS
from hangworthy.contract.work import Kind

QUANTITY_TEXT = Meta(min_length=1, max_length=60, description="A quantity as a person writes it: “36 1/2 in”, “6 ± 1”.")
LIST_LENGTH = 50
AS_WRITTEN = "as_written"
_WRITTEN = "The same in free text: what can be read in it counts where the fact itself is not given; the answer shows the reading."


class Slot(msgspec.Struct, frozen=True):
    """One fact's place: its path and pointer, the type that a rule sees, and how it is asked for.

    ``kind`` is one of number, count, yes_no, choice, text, date, money, or listed for what a venue lists; ``count`` is the length of a
    fixed list, 0 for a list of any length, None for a single value. ``unit`` is spelt as quantities spell it.
    """

    index: int
    path: str
    pointer: str
    type: Any
    kind: str
    ask: Ask
    unit: str = ""
    choices: tuple[str, ...] = ()
    count: int | None = None

    @property
    def answers(self) -> tuple[Any, ...] | None:
        """All possible answers of a yes/no or a choice; None for anything else."""
        if self.count is not None:
            return None
        return (False, True) if self.kind == "yes_no" else self.choices if self.kind == "choice" else None


class Schema(msgspec.Struct, frozen=True):
    """The wire types and the slots. ``readers`` yields, per section, the getter of all its attributes and the first slot."""

    work: type[msgspec.Struct]
    wall: type[msgspec.Struct]
    request: type[msgspec.Struct]
    slots: tuple[Slot, ...]
    by_path: Mapping[str, Slot]
    own: Any
    sections: tuple[tuple[str, Any, int, int], ...]
    wall_reader: Any
    wall_start: int
    venue_start: int


class SchemaError(TypeError):
    """A section of facts that cannot be composed; the message names section and fact."""


def _element(annotation: Any) -> tuple[Any, int | None]:
    """Return the element type and the length of a tuple annotation (0 for any length), or the annotation itself and None."""
    if get_origin(annotation) is not tuple:
        return annotation, None
    args = get_args(annotation)
    if len(args) == 2 and args[1] is Ellipsis:
        return args[0], 0
    if len(set(args)) != 1:
        raise SchemaError(f"a list must have elements of one type, not {annotation}")
    return args[0], len(args)


_KINDS: dict[Any, str] = {float: "number", int: "count", bool: "yes_no", str: "text", date: "date", Decimal: "money"}


def _kind(annotation: Any) -> tuple[str, tuple[str, ...]]:
    if get_origin(annotation) is Literal:
        return "choice", tuple(get_args(annotation))
    if annotation not in _KINDS:
        raise SchemaError(f"{annotation} is no type of a fact; use float, int, bool, str, date, Decimal, a Literal or a tuple of one")
    return _KINDS[annotation], ()


def _slot(index: int, path: str, annotation: Any, asked: Ask) -> Slot:
    element, count = _element(annotation)
    kind, choices = _kind(element)
    unit = (unit_of(path.rpartition(".")[2]) or "") if kind == "number" else ""
    pointer = "/" + path.replace(".", "/")
    if asked.reads and READABLE.get(asked.reads) != (kind, unit, count):
        raise SchemaError(_misread(asked.reads))
    if stray := sorted(set(asked.kinds) - set(get_args(Kind))):
        raise SchemaError(f"is for works of the kind “{stray[0]}”, which is none of: {', '.join(get_args(Kind))}")
    return Slot(index, path, pointer, annotation, kind, asked, unit, choices, count)


def _misread(name: str) -> str:
    if name not in READABLE:
        return f"reads “{name}”, which is none of: {', '.join(sorted(READABLE))}"
    kind, unit, count = READABLE[name]
    return f"reads “{name}”, which is a {kind}{f' in {unit}' if unit else ''}{f', {count} of them' if count else ''}"


def _wire_element(slot: Slot) -> Any:
    asked = slot.ask
    bounds: dict[str, Any] = {key: value for key, value in (("ge", asked.lo), ("le", asked.hi)) if value is not None}
    if slot.kind == "number":
        return Annotated[float, Meta(**bounds)] | Annotated[str, QUANTITY_TEXT]
    if slot.kind == "count":
        whole: dict[str, Any] = {key: int(value) for key, value in bounds.items()}
        return Annotated[int, Meta(**whole)]
    if slot.kind == "text":
        return Annotated[str, Meta(min_length=1, max_length=asked.max_length, pattern=asked.pattern)]
    if slot.kind == "choice":
        return Literal[slot.choices]
    return {"yes_no": bool, "date": date, "money": Decimal}[slot.kind]


def _wire_field(name: str, slot: Slot) -> tuple[Any, ...]:
    """Return the msgspec field for a slot. Null and absent both mean *not known*."""
    wire: Any = _wire_element(slot)
    if slot.count is not None:
        length = Meta(min_length=slot.count, max_length=slot.count) if slot.count else Meta(max_length=LIST_LENGTH)
        wire = Annotated[tuple[wire, ...], length]
    extra: dict[str, Any] = {"x-prompt": slot.ask.prompt, "x-asked-of": slot.ask.asked_of}
    if slot.ask.how:
        extra["x-how"] = slot.ask.how
    if slot.unit:
        extra |= {"x-unit": slot.unit, "x-units-accepted": list(units_accepted(slot.unit))}
    meta = Meta(title=slot.ask.title, description=" ".join((slot.ask.prompt, slot.ask.how)).strip(), extra_json_schema=extra)
    if slot.ask.required:
        return (name, Annotated[wire, meta])
    return (name, Annotated[wire | None, meta], None)


class _Composer:
    """Collects slots while sections are turned into wire structs."""

    def __init__(self) -> None:
        self.slots: list[Slot] = []

    def section(self, name: str, prefix: str, classes: list[type[Section]], extra: list[Any]) -> tuple[type[msgspec.Struct], Any, int]:
        fields, start, seen = [], len(self.slots), set()
        for cls in classes:
            if not (isinstance(cls, type) and issubclass(cls, Section)) or not cls.asks:
                raise SchemaError(f"section {prefix.rstrip('.')} must be a subclass of Section with at least one fact")
            for fact_name, annotation in cls.types().items():
                if fact_name in seen:
                    raise SchemaError(f"{prefix}{fact_name} is declared twice")
                seen.add(fact_name)
                try:
                    slot = _slot(len(self.slots), prefix + fact_name, annotation, cls.asks[fact_name])
                except SchemaError as error:
                    raise SchemaError(f"{prefix}{fact_name}: {error}") from None
                self.slots.append(slot)
                fields.append(_wire_field(fact_name, slot))
        wire = _define(name, [*fields, *extra], (classes[0].__doc__ or "").strip())
        names = [slot.path.rpartition(".")[2] for slot in self.slots[start:]]
        getter = attrgetter(*names) if len(names) > 1 else _single(names[0])
        return wire, getter, start


def _single(name: str) -> Any:
    get = attrgetter(name)
    return lambda section: (get(section),)


def _define(name: str, fields: list[Any], doc: str) -> type[msgspec.Struct]:
    return msgspec.defstruct(
        name,
        fields,
        kw_only=True,
        frozen=True,
        forbid_unknown_fields=True,
        omit_defaults=True,
        namespace={"__doc__": doc},
    )


def _title(name: str) -> str:
    return "".join(part.title() for part in name.split("_"))


def compose(
    work_facts: type[Section],
    wall_facts: type[Section],
    sections: Mapping[str, list[type[Section]]],
    stage: type,
    most_works: int,
) -> Schema:
    """Compose the sections into one schema.

    ``sections`` maps a section's name to the classes that declare its facts, the contract's first. Raises SchemaError naming the fact
    that is declared twice or has a type that no fact can have.
    """
    composer = _Composer()
    parts, fields = [], []
    for name in sorted(sections):
        if name == "wall":
            continue
        if name in work_facts.asks or name in ("venue", AS_WRITTEN):
            raise SchemaError(f"section {name}: that name is taken by the contract")
        wire, getter, start = composer.section(_title(name), name + ".", sections[name], [])
        parts.append((name, getter, start, len(composer.slots)))
        doc = (sections[name][0].__doc__ or "").strip()
        fields.append((name, Annotated[wire | None, Meta(description=doc)], None))
    fields.append((AS_WRITTEN, Annotated[AsWritten | None, Meta(description=_WRITTEN)], None))
    work, own, own_start = composer.section("Work", "", [work_facts], fields)
    own_end = len(composer.slots)
    wall, wall_reader, wall_start = composer.section("WallConditions", "wall.", [wall_facts, *sections.get("wall", ())], [])
    venue_start = len(composer.slots)
    for name, (kind, title) in VENUE_LISTS.items():
        asked = Ask(title, f"{title}: what does the venue have?", asked_of="coordinator")
        composer.slots.append(Slot(len(composer.slots), f"venue.{name}", f"/venue/{name}", kind, "listed", asked))
    request = _request(work, stage, most_works)
    slots = tuple(composer.slots)
    return Schema(
        work=work, wall=wall, request=request, slots=slots, by_path={slot.path: slot for slot in slots},
        own=(own, own_start, own_end), sections=tuple(parts), wall_reader=wall_reader, wall_start=wall_start, venue_start=venue_start,
    )  # fmt: skip


def _request(work: type[msgspec.Struct], stage: type, most_works: int) -> type[msgspec.Struct]:
    """Return the wire type of one request to evaluate works."""
    works = Annotated[list[work], Meta(min_length=1, max_length=most_works, description="The works, answered in this order.")]  # type: ignore[valid-type]
    name = Annotated[str, Meta(min_length=1, max_length=80)]
    venue = Annotated[name | None, Meta(description="The venue's name; without it the service's default venue.")]
    stages = Annotated[stage, Meta(description="Where the works are in their life; without it, offer.")]  # type: ignore[valid-type]
    spoken = Annotated[LanguageCode | None, Meta(description="The language of the answer's sentences; without it, English.")]
    fields = [("works", works), ("stage", stages, next(iter(stage))), ("venue", venue, None), ("language", spoken, None)]  # type: ignore[call-overload]
    return _define("EvaluationRequest", fields, "One or several works, the stage they are at, the venue, and the language of the answer.")
