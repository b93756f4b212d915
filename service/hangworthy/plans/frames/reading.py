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
from hangworthy.plans.frames.wanted import Earlier, FramesAway, PlanFrame, PlanInput, PlanWork
from hangworthy.venues import lists
from hangworthy.venues.keys import JSON_FORM
from hangworthy.venues.reader import VenueReader

MOST_WORKS, MOST_LISTED, MOST_SECONDS, USUAL_SECONDS, MOST_WEIGHT = 10_000, 10_000, 60.0, 20.0, 1_000
LONGEST_STAY_DAYS = 3_660
_FIELDS = ("works", "venue", "frames", "away", "weights", "earlier", "seconds")
_RIGHT = {
    "frame": "The frame must be the name of a size in the stock, a text of 1 to 80 characters.",
    "ref": "The ref must be that of a work, a text of 1 to 80 characters.",
    "away_from": "This must be a day, such as 2027-03-31.",
    "away_until": "This must be a day, such as 2027-03-31.",
    "count": "The count must be a whole number from 1 to 10000.",
    "number": "The number must be a whole number from 1 to 10000; leave it out if it is not known.",
}


class TooMany(Exception):
    """Raised for more works than one plan takes."""

    def __init__(self, given: int) -> None:
        """Say how many there may be."""
        super().__init__(f"One frame plan takes at most {MOST_WORKS} works; {given} were given. Plan the venues or the seasons one by one.")


def request_type(schema: Schema) -> type[msgspec.Struct]:
    """Return the wire type of a request for a frame plan, with the works of a composed schema."""
    work: Any = schema.work
    name, weight = Annotated[str, Meta(min_length=1, max_length=80)], Annotated[int, Meta(ge=1, le=MOST_WEIGHT)]
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
        self.schema, self.type = schema, request_type(schema)

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
        rows = {name: _rows(asked, name, kind, faults) for name, kind in (("away", FramesAway), ("earlier", Earlier))}
        weights = _weights(asked, {work.ref for work in decoded}, faults)
        seconds = _seconds(asked, faults)
        _away(rows["away"], frames, faults)
        _twice([one and one.ref for one in rows["earlier"]], faults)
        reads = _reads(evaluator, decoded, faults) if evaluator is not None else []
        if faults or evaluator is None:
            raise BadInput("invalid", faults.listed())
        made = tuple(_works(evaluator, decoded, reads, frames, weights))
        stock = tuple(PlanFrame(name=one.name, count=one.count, width_mm=one.width_mm, height_mm=one.height_mm) for one in frames)
        return PlanInput(
            venue=evaluator.ruleset.venue.name, works=made, frames=stock, away=tuple(rows["away"]), earlier=tuple(rows["earlier"]),
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


def _rows(asked: Mapping[str, Any], name: str, kind: type[msgspec.Struct], faults: FaultList) -> list[Any]:
    """Return the rows of a list; each field is read by itself, so that no fault hides another."""
    given = asked.get(name)
    if given is None:
        return []
    if not isinstance(given, list) or len(given) > MOST_LISTED:
        faults.add(f"/{name}", f"This must be a list of at most {MOST_LISTED} objects.")
        return []
    found = []
    for place, row in enumerate(given):
        if not isinstance(row, dict):
            faults.add(f"/{name}/{place}", f"This must be an object with {', '.join(kind.__struct_fields__)}.")
            found.append(None)
            continue
        good = dict(_read_row(f"/{name}/{place}", row, kind, faults))
        try:
            found.append(msgspec.convert(good, kind))
        except msgspec.ValidationError:
            found.append(None)
    return found


def _read_row(pointer: str, row: Mapping[str, Any], kind: type[msgspec.Struct], faults: FaultList) -> Iterator[tuple[str, Any]]:
    fields = {field.name: field for field in msgspec.structs.fields(kind)}
    for name in row:
        if name not in fields:
            faults.add(pointer + pointer_of((name,)), f"There is no field {quote(name)} here.{nearest(name, list(fields))}")
    for name, field in fields.items():
        if row.get(name) is None and not field.required:
            continue
        try:
            msgspec.convert(row.get(name), field.type)
            yield name, row[name]
        except msgspec.ValidationError:
            faults.add(f"{pointer}/{name}", f"This is missing. {_RIGHT[name]}" if name not in row else _RIGHT[name])


def _away(rows: Sequence[FramesAway | None], frames: Sequence[StockFrame], faults: FaultList) -> None:
    """Note frames that are away and not in the stock, days that are reversed, and more that are away than there are."""
    counts = {frame.name: frame.count for frame in frames}
    for place, one in enumerate(rows):
        if one is None:
            continue
        if one.away_until < one.away_from:
            faults.add(
                f"/away/{place}/away_until", f"They come back before they go, on {one.away_from}. Give the last day that they are away."
            )
        elif counts and one.frame not in counts:
            known = nearest(one.frame, list(counts)) or f" There are: {', '.join([*counts][:5])}."
            faults.add(f"/away/{place}/frame", f"The stock has no frame {quote(one.frame)}.{known}")
        elif counts:
            days = [other for other in rows if other and other.frame == one.frame and other.away_from <= one.away_from <= other.away_until]
            if (gone := sum(other.count for other in days)) > counts[one.frame]:
                said = f"There are {counts[one.frame]} frames {quote(one.frame)}, fewer than would be away on {one.away_from}: {gone}."
                faults.add(f"/away/{place}/count", said)


def _twice(refs: Sequence[str | None], faults: FaultList) -> None:
    seen: set[str] = set()
    for place, ref in enumerate(refs):
        if ref in seen:
            faults.add(f"/earlier/{place}/ref", "This work is there twice; it had one frame.")
        if ref:
            seen.add(ref)


def _weights(asked: Mapping[str, Any], refs: set[str], faults: FaultList) -> dict[str, int]:
    given = asked.get("weights")
    if given is None:
        return {}
    if not isinstance(given, dict):
        faults.add("/weights", 'The weights must be an object of whole numbers by ref, such as {"a-1": 3}.')
        return {}
    for ref, weight in given.items():
        if ref not in refs:
            faults.add(pointer_of(("weights", ref)), f"None of the works has the ref {quote(ref)}.{nearest(ref, list(refs)[:500])}")
        elif type(weight) is not int or not 1 <= weight <= MOST_WEIGHT:
            faults.add(pointer_of(("weights", ref)), f"A weight must be a whole number from 1 to {MOST_WEIGHT}.")
    return {ref: weight for ref, weight in given.items() if type(weight) is int}


def _seconds(asked: Mapping[str, Any], faults: FaultList) -> float:
    given = asked.get("seconds", USUAL_SECONDS)
    if isinstance(given, int | float) and not isinstance(given, bool) and 1 <= given <= MOST_SECONDS:
        return float(given)
    faults.add("/seconds", f"The time limit must be a number of seconds from 1 to {MOST_SECONDS:g}; leave it out for {USUAL_SECONDS:g}.")
    return USUAL_SECONDS


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
        fits, missing = ((), ()) if own["framed"] else _fits(evaluator, read)
        days = tuple(f"/{name}" for name in ("hang_from", "hang_until") if own[name] is None and not own["framed"])
        yield PlanWork(
            ref=work.ref, hang_from=own["hang_from"], hang_until=own["hang_until"], width_mm=own["width_mm"], height_mm=own["height_mm"],
            weight=weights.get(work.ref, 1), fits=fits, missing=(*days, *missing), framed=bool(own["framed"]),
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
