"""What stands beside the works in a request for a frame plan: frames away, an earlier plan, weights, the time limit; with every fault."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import msgspec

from hangworthy.contract import StockFrame
from hangworthy.engine.reading import nearest
from hangworthy.intake.faults import FaultList, pointer_of, quote
from hangworthy.plans.frames.wanted import FramesAway

MOST_LISTED, MOST_SECONDS, USUAL_SECONDS, MOST_WEIGHT = 10_000, 60.0, 20.0, 1_000
_RIGHT = {
    "frame": "The frame must be the name of a size in the stock, a text of 1 to 80 characters.",
    "ref": "The ref must be that of a work, a text of 1 to 80 characters.",
    "away_from": "This must be a day, such as 2027-03-31.",
    "away_until": "This must be a day, such as 2027-03-31.",
    "count": "The count must be a whole number from 1 to 10000.",
    "number": "The number must be a whole number from 1 to 10000; leave it out if it is not known.",
}


def rows(asked: Mapping[str, Any], name: str, kind: type[msgspec.Struct], faults: FaultList) -> list[Any]:
    """Return the rows of a list; each field is read by itself, so that no fault hides another."""
    given = asked.get(name)
    if given is None:
        return []
    if not isinstance(given, list) or len(given) > MOST_LISTED:
        faults.add(f"/{name}", f"This must be a list of at most {MOST_LISTED} objects.")
        return []
    found: list[Any] = []
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


def check_away(rows: Sequence[FramesAway | None], frames: Sequence[StockFrame], faults: FaultList) -> None:
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


def check_earlier(refs: Sequence[str | None], faults: FaultList) -> None:
    """Note works that an earlier plan lists twice."""
    seen: set[str] = set()
    for place, ref in enumerate(refs):
        if ref in seen:
            faults.add(f"/earlier/{place}/ref", "This work is there twice; it had one frame.")
        if ref:
            seen.add(ref)


def weights_of(asked: Mapping[str, Any], refs: set[str], faults: FaultList) -> dict[str, int]:
    """Return the weights by ref; note those that are none."""
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


def seconds_of(asked: Mapping[str, Any], faults: FaultList) -> float:
    """Return the time limit, or note that it is none."""
    given = asked.get("seconds", USUAL_SECONDS)
    if isinstance(given, int | float) and not isinstance(given, bool) and 1 <= given <= MOST_SECONDS:
        return float(given)
    faults.add("/seconds", f"The time limit must be a number of seconds from 1 to {MOST_SECONDS:g}; leave it out for {USUAL_SECONDS:g}.")
    return USUAL_SECONDS
