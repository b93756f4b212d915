"""Reading a request for a frame plan: every fault at once, each with its place; then what the packs say of each work."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from hangworthy.contract import FrameFit, StockFrame
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.reading import ReadWork, nearest
from hangworthy.engine.schema import Schema
from hangworthy.intake import BadInput, Intake, from_bad_works
from hangworthy.intake.collect import Collector
from hangworthy.intake.faults import FaultList, pointer_of, quote
from hangworthy.intake.reader import no_venue
from hangworthy.intake.text import plain
from hangworthy.plans.frames.beside import (
    MOST_LISTED,
    MOST_SECONDS,
    MOST_WEIGHT,
    USUAL_SECONDS,
    check_away,
    check_earlier,
    rows,
    seconds_of,
    weights_of,
)  # fmt: skip
from hangworthy.plans.frames.wanted import Earlier, FramesAway, Name, PlanFrame, PlanInput, PlanWork
from hangworthy.venues import lists
from hangworthy.venues.keys import JSON_FORM
from hangworthy.venues.reader import VenueReader

MOST_WORKS, MOST_BYTES = 10_000, 32_000_000
LONGEST_STAY_DAYS = 3_660
_FIELDS = ("works", "venue", "frames", "away", "weights", "earlier", "seconds")


class TooMany(Exception):
    """Raised for more works than one plan takes."""

    def __init__(self, given: int) -> None:
        """Say how many there may be."""
        super().__init__(f"One frame plan takes at most {MOST_WORKS} works; {given} were given. Plan the venues or the seasons one by one.")


def wire_of(schema: Schema) -> type[msgspec.Struct]:
    """Return the wire type of a request for a frame plan, with the works of a composed schema."""
    work: Any = schema.work
    name: Any = Name
    weight: Any = Annotated[int, Meta(ge=1, le=MOST_WEIGHT)]
    fields: list[Any] = [
        ("works", Annotated[list[work], Meta(min_length=1, max_length=MOST_WORKS, description="The works; their order does not matter.")]),
        ("venue", Annotated[name | None, Meta(description="The venue's name; without it the service's default venue.")], None),
        ("frames", Annotated[tuple[StockFrame, ...] | None, Meta(description="The stock; without it the venue's own.")], None),
        ("away", Annotated[tuple[FramesAway, ...], Meta(max_length=MOST_LISTED, description="Frames that are away.")], ()),
        ("weights", Annotated[dict[name, weight], Meta(description="What hanging a work counts, by ref; 1 without it.")], {}),
        ("earlier", Annotated[tuple[Earlier, ...], Meta(max_length=MOST_LISTED, description="An earlier plan, to change little of.")], ()),
        ("seconds", Annotated[float, Meta(ge=1, le=MOST_SECONDS, description="The time limit.")], USUAL_SECONDS),
    ]  # fmt: skip
    return msgspec.defstruct(
        "FramePlanRequest", fields, kw_only=True, frozen=True, forbid_unknown_fields=True,
        namespace={"__doc__": "Works with their days, and the stock of frames that they share."},
    )  # fmt: skip


class PlanReader:
    """Reads requests of one schema."""

    def __init__(self, schema: Schema) -> None:
        """Prepare the type."""
        self.schema, self.type = schema, wire_of(schema)
        msgspec.json.Decoder(self.type)  # worked out on one thread, as in engine/compare.py

    def read(self, body: bytes, intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None) -> PlanInput:
        """Return what is to be planned. Raises BadInput with every fault, or TooMany."""
        value = plain(body)
        works = value.get("works") if isinstance(value, dict) else None
        if isinstance(works, list) and len(works) > MOST_WORKS:
            raise TooMany(len(works))
        faults = FaultList()
        try:
            request: Any = msgspec.convert(intake.with_whole_counts(value), self.type)
            decoded = request.works
        except (msgspec.ValidationError, ValueError, OverflowError):
            decoded = self._collect(value, faults)
        asked: Mapping[str, Any] = value if isinstance(value, dict) else {}
        evaluator = _venue(asked, evaluators, default, faults)
        frames = self._frames(asked, evaluator, faults)
        listed = {name: rows(asked, name, kind, faults) for name, kind in (("away", FramesAway), ("earlier", Earlier))}
        weights = weights_of(asked, {work.ref for work in decoded}, faults)
        seconds = seconds_of(asked, faults)
        check_away(listed["away"], frames, faults)
        check_earlier([one and one.ref for one in listed["earlier"]], faults)
        reads = _reads(evaluator, decoded, faults) if evaluator is not None else []
        if faults or evaluator is None:
            raise BadInput("invalid", faults.listed())
        made = tuple(_works(evaluator, decoded, reads, frames, weights))
        stock = tuple(PlanFrame(name=one.name, count=one.count, width_mm=one.width_mm, height_mm=one.height_mm) for one in frames)
        return PlanInput(
            venue=evaluator.ruleset.venue.name, works=made, frames=stock, away=tuple(listed["away"]), earlier=tuple(listed["earlier"]),
            seconds=seconds,
        )  # fmt: skip

    def _collect(self, value: Any, faults: FaultList) -> list[Any]:
        """Note what is wrong with works and names of fields; return the works as far as they can be read."""
        if not isinstance(value, dict):
            faults.add("", 'The body must be an object such as {"works": [{"ref": "a-1"}]}.')
            return []
        for name in value:
            if name not in _FIELDS:
                faults.add(pointer_of((name,)), f"A request has no field {quote(name)}.{nearest(name, list(_FIELDS))}")
        works = value.get("works")
        if not isinstance(works, list) or not works:
            faults.add("/works", "The works must be a list of at least one work, in square brackets.")
            return []
        collector = Collector(self.schema)
        return [collector.work(place, work, faults) for place, work in enumerate(works)]

    def _frames(self, asked: Mapping[str, Any], evaluator: Evaluator | None, faults: FaultList) -> tuple[StockFrame, ...]:
        """Return the stock: the request's own, or the venue's."""
        given = asked.get("frames")
        if given is None:
            own = None if evaluator is None else evaluator.ruleset.venue.frames
            if not own and evaluator is not None:
                faults.add("/frames", "This venue lists no frames. Send the stock: name, width_mm, height_mm and count of each size.")
            return own or ()
        if not isinstance(given, list) or not given or not all(isinstance(one, dict) for one in given):
            faults.add("/frames", "The frames must be a list of objects with name, width_mm, height_mm and count.")
            return ()
        reader = VenueReader(self.schema, JSON_FORM)
        found = tuple(lists.frames(reader, given))
        for key, sentence in reader.faults:
            faults.add(pointer_of(key), sentence[0].upper() + sentence[1:])
        return () if reader.faults else found


def _venue(asked: Mapping[str, Any], evaluators: Mapping[str, Evaluator], default: str | None, faults: FaultList) -> Evaluator | None:
    name = asked.get("venue")
    found = evaluators.get(name or default or "") if name is None or isinstance(name, str) else None
    if name is not None and not isinstance(name, str):
        faults.add("/venue", "The venue must be the name of a venue, a text of 1 to 80 characters.")
    elif found is None and name is not None:
        faults.add("/venue", no_venue(name, list(evaluators)))
    elif found is None:
        faults.add("/venue", f"Name the venue; there are: {', '.join([*evaluators][:5]) or 'none'}.")
    return found


def _reads(evaluator: Evaluator, works: Sequence[Any], faults: FaultList) -> list[ReadWork]:
    """Return the works as rules see them; note what cannot be read, and days that are reversed."""
    for place, work in enumerate(works):
        if work.hang_from and work.hang_until:
            if work.hang_until < work.hang_from:
                said = f"It would come down before it goes up, on {work.hang_from}. Are the two days the wrong way round?"
                faults.add(f"/works/{place}/hang_until", said)
            elif (work.hang_until - work.hang_from).days > LONGEST_STAY_DAYS:
                faults.add(f"/works/{place}/hang_until", "That is more than ten years; a plan takes shorter stays. Check the year.")
    try:
        return evaluator.read(works)
    except BadWorks as bad:
        for fault in from_bad_works(bad).faults:
            faults.add(fault.pointer, fault.message)
        return []


def _works(
    evaluator: Evaluator, works: Sequence[Any], reads: Sequence[ReadWork], frames: tuple[StockFrame, ...], weights: Mapping[str, int]
) -> Iterator[PlanWork]:
    """Yield each work with what the packs say of it."""
    ruleset = evaluator.ruleset
    slot = ruleset.schema.by_path["venue.frames"].index
    places = {name: ruleset.schema.by_path[name].index for name in ("width_mm", "height_mm", "hang_from", "hang_until", "framed")}
    for work, read in zip(works, reads, strict=True):
        read.values[slot] = frames
        own = {name: read.values[place] for name, place in places.items()}
        framed = bool(own["framed"])
        no_sheet = not framed and bool(ruleset.fits) and not any(bound.applies(read.values)[0] for bound in ruleset.fits)
        fits, missing = ((), ()) if framed or no_sheet else _fits(evaluator, read)
        days = () if framed or no_sheet else tuple(f"/{name}" for name in ("hang_from", "hang_until") if own[name] is None)
        yield PlanWork(
            ref=work.ref, hang_from=own["hang_from"], hang_until=own["hang_until"], width_mm=own["width_mm"], height_mm=own["height_mm"],
            weight=weights.get(work.ref, 1), fits=fits, missing=(*days, *missing), framed=framed, no_sheet=no_sheet,
        )  # fmt: skip


def _fits(evaluator: Evaluator, read: ReadWork) -> tuple[tuple[FrameFit, ...], tuple[str, ...]]:
    """Return the best fit into each size, of all packs, and the facts that must be known before that can be said."""
    best: dict[str, FrameFit] = {}
    missing: dict[str, None] = {}
    for bound in evaluator.ruleset.fits:
        applies, unsure = bound.applies(read.values)
        if not applies:
            continue
        arguments, lacking, _ = bound.arguments(read.values)
        missing |= dict.fromkeys((*unsure, *lacking))
        if unsure or lacking:
            continue
        for fit in bound.function(*bound.limits, *arguments):
            old = best.get(fit.frame)
            if old is None or (not old.agreed, sum(old.crop_mm)) > (not fit.agreed, sum(fit.crop_mm)):
                best[fit.frame] = fit
    return tuple(best[name] for name in sorted(best)), tuple(missing) if not best else ()
