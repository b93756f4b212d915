"""What plans ask of works and venues: outer sizes and hooks from facts, figures from the limits in force. No pack is named."""

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import msgspec

from hangworthy.contract.means import Means
from hangworthy.engine.catalogue import MOST_WORKS
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import Schema
from hangworthy.intake import BadInput, Intake, from_bad_works
from hangworthy.intake.faults import FaultList

OWN_SIZE, _FRAME = ("width_mm", "height_mm"), ("frame.width_mm", "frame.height_mm")


class Outer(NamedTuple):
    """The outer size of a work [mm], with its frame where it has one; and the half-width of what is not sure of it."""

    width: float
    height: float
    unsure: float


class Hooks(msgspec.Struct, frozen=True):
    """How a work hangs: the number of hooks, how far apart they are and how far below the top [mm], and in words what is not known."""

    count: int
    spacing: float | None
    drop: float | None
    notes: tuple[str, ...]


class Figures:
    """The limits in force that plans use, by what they mean; and the facts that packs mark for plans."""

    def __init__(self, ruleset: Ruleset) -> None:
        """Look them up. Of several limits with one meaning the strictest counts: the greatest to be kept free, the least load."""
        self.schema, found = ruleset.schema, dict[Means, list[float]]()
        for one in ruleset.catalogue.installed:
            for name, declared in one.pack.limits.declared.items():
                used = ruleset.limits.get(f"{one.pack.name}.{name}")
                if declared.means is not None and used is not None:
                    found.setdefault(declared.means, []).append(used.value)
        loads = (Means.ONE_HOOK_KG, Means.ONE_HOOK_MM)
        self.limits = {means: (min if means in loads else max)(values) for means, values in found.items()}
        self.facts = {slot.ask.means: slot.index for slot in ruleset.schema.slots if slot.ask.means is not None}

    def limit(self, means: Means, otherwise: float) -> float:
        """Return the limit of a meaning, or what counts where no pack of the venue has one."""
        return self.limits.get(means, otherwise)

    def fact(self, read: ReadWork, means: Means) -> Any:
        """Return a marked fact of a work, None where it is not known or no pack asks for it."""
        index = self.facts.get(means)
        return None if index is None else read.values[index]


def value_of(schema: Schema, read: ReadWork, path: str) -> Any:
    """Return a fact of the contract by its path; None where it is not known."""
    return read.values[schema.by_path[path].index]


def outer(schema: Schema, read: ReadWork) -> Outer | tuple[str, ...]:
    """Return the outer size of a work, or the paths of what is missing for it: a frame counts where there is one."""
    framed = value_of(schema, read, "framed")
    if framed is None:
        return ("framed",)
    paths = _FRAME if framed else OWN_SIZE
    sides = [value_of(schema, read, path) for path in paths]
    if missing := tuple(path for path, side in zip(paths, sides, strict=True) if side is None):
        return missing
    slots = [schema.by_path[path].index for path in paths]
    # The half-width of what a person wrote with ± is √3 standard uncertainties (JCGM 100, 4.3.7).
    unsure = max((one.u * math.sqrt(3) for one in read.uncertain if one.slot in slots), default=0.0)
    return Outer(sides[0], sides[1], unsure)


def least(schema: Schema, read: ReadWork) -> tuple[float | None, float | None]:
    """Return how wide and how high a work is at least [mm], None where nothing tells: a frame only makes it larger."""
    own = [value_of(schema, read, path) for path in OWN_SIZE]
    frame = [value_of(schema, read, path) if value_of(schema, read, "framed") else None for path in _FRAME]
    wide, high = (bare if outside is None else outside for bare, outside in zip(own, frame, strict=True))
    return wide, high


def mismatch(schema: Schema, read: ReadWork) -> tuple[str, str] | None:
    """Return the path of a frame's side that is smaller than its work, and what to say of it: one of the two is a slip of the tape."""
    own, frame = ([value_of(schema, read, path) for path in paths] for paths in (OWN_SIZE, _FRAME))
    small = [path for path, bare, outside in zip(_FRAME, own, frame, strict=True) if bare and outside and outside < bare]
    if not value_of(schema, read, "framed") or not small:
        return None
    sizes = [" × ".join("not known" if side is None else f"{side:g}" for side in sides) for sides in (frame, own)]
    return small[0], f"The frame ({sizes[0]} mm) is smaller than the work ({sizes[1]} mm); please check both."


def hooks(figures: Figures, read: ReadWork, size: Outer) -> Hooks:
    """Return how a work hangs: as its facts say; else on two hooks where it is too heavy or too wide for one, half its width apart."""
    notes = []
    count, spacing = figures.fact(read, Means.HOOKS), figures.fact(read, Means.HOOK_SPACING)
    mass, drop = value_of(figures.schema, read, "mass_kg"), value_of(figures.schema, read, "fittings.drop_mm")
    heavy, wide = figures.limit(Means.ONE_HOOK_KG, math.inf), figures.limit(Means.ONE_HOOK_MM, math.inf)
    load = None if mass is None else mass + max((one.u for one in read.uncertain if _is(figures, one.slot, "mass_kg")), default=0.0)
    if count is None:
        count = 2 if size.width > wide or (load is not None and load > heavy) else 1
        if load is None and count == 1 and heavy < math.inf:
            notes.append(f"Weigh it: above {heavy:g} kg it needs two hooks.")
    if count > 1 and (spacing is None or spacing > size.width):
        spacing = size.width / 2.0
        notes.append("Its hooks are drawn half its width apart; measure from ring to ring.")
    if drop is not None and drop > size.height:
        drop = None
    if drop is None:
        notes.append("Measure how far below its top edge the hook sits, to know the height of its hooks.")
    return Hooks(count, spacing if count > 1 else 0.0, drop, tuple(notes))


def _is(figures: Figures, slot: int, path: str) -> bool:
    return slot == figures.schema.by_path[path].index


def works_of(
    intake: Intake, evaluator: Evaluator | None, given: Any, venue: Any, name: str, faults: FaultList, *, most: int = MOST_WORKS
) -> list[Any]:  # fmt: skip
    """Return the decoded works of one list of a request; faults are noted at the places where they stand in it."""
    if isinstance(given, list) and len(given) > most:
        faults.add(f"/{name}", f"At most {most} works can be planned at once; {len(given)} were given.")
        return []
    body: dict[str, Any] = {"works": given} if venue is None else {"works": given, "venue": venue}
    try:
        works = list(intake.read(msgspec.json.encode(body)).works)
        if evaluator is not None:
            evaluator.read(works)
        return works
    except (BadInput, BadWorks) as error:
        bad = from_bad_works(error) if isinstance(error, BadWorks) else error
        for fault in bad.faults:
            pointer = fault.pointer
            faults.add(f"/{name}" + pointer.removeprefix("/works") if pointer.startswith("/works") else pointer, fault.message)
        return []


def hung_at(works: Sequence[Any], wall: str | None, **more: Any) -> list[Any]:
    """Return the works as they would hang on a wall."""
    return [msgspec.structs.replace(work, wall_name=wall, **more) for work in works]


def with_wall(evaluator: Evaluator, name: str, measures: Mapping[str, float]) -> Evaluator:
    """Return an evaluator of the same venue with one wall of these measures, for a wall that the venue does not list."""
    ruleset = evaluator.ruleset
    wall = ruleset.schema.wall(**measures)
    venue = msgspec.structs.replace(ruleset.venue, walls={**ruleset.venue.walls, name: wall})
    return Evaluator(Ruleset(ruleset.catalogue, venue), keep=0)
