"""Keeping a venue: read, bound to the packs, and only then accepted; every fault is told at once."""

import asyncio
from typing import Any

from hangworthy.api.access import Caller
from hangworthy.api.book import kept_form
from hangworthy.api.core import Service
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, unfit
from hangworthy.history.port import VenueVersion
from hangworthy.intake import BadInput
from hangworthy.intake.faults import FaultList, pointer_of, quote
from hangworthy.intake.text import plain
from hangworthy.venues import MOST_BYTES
from hangworthy.venues.content import read_content


async def keep(service: Service, name: str, body: bytes, current: VenueVersion | None, caller: Caller) -> tuple[VenueVersion, Evaluator]:
    """Keep the venue that a body describes as the version after ``current``, and put it in force.

    A body that says what is in force already changes nothing. Raises BadInput with every fault, and Changed when another was quicker.
    """
    assert service.history is not None  # noqa: S101 - the caller asked first
    number = 1 if current is None else current.version + 1
    evaluator = await asyncio.to_thread(bound, service.catalogue, name, body, number)
    content, digest = kept_form(evaluator.ruleset.venue)
    if current is not None and content == current.content:
        return current, await asyncio.to_thread(service.book.at, current)
    kept = await service.history.venues.put(
        name, content, digest, based_on=number - 1, at=service.now(), by=caller.id or None
    )  # fmt: skip
    service.book.take(kept, evaluator)
    return kept, evaluator


def bound(catalogue: Catalogue, name: str, body: bytes, number: int) -> Evaluator:
    """Return the evaluator of the venue that a body describes. Raises BadInput with every fault in it."""
    content, faults = _object(body), FaultList()
    if content.setdefault("name", name) != name:
        faults.add("/name", f"This must be the name in the address, {quote(name)}; leave it out or write it alike.")
    venue, found = read_content(content, catalogue.schema, number)
    told: dict[str, list[str]] = {}
    for key, sentence in (*found, *unfit(catalogue, venue)):
        told.setdefault(pointer_of(key), []).append(sentence[:1].upper() + sentence[1:])
    for pointer, sentences in told.items():  # several packs can be wrong in one place
        faults.add(pointer, " ".join(sentences))
    if faults:
        raise BadInput("invalid", faults.listed())
    return Evaluator(Ruleset(catalogue, venue))


def _object(body: bytes) -> dict[str, Any]:
    faults = FaultList()
    if len(body) > MOST_BYTES:
        faults.add("", f"A venue has at most {MOST_BYTES:,} bytes.")
    else:
        content = plain(body)
        if isinstance(content, dict):
            return content
        faults.add("", "A venue is an object with its keys, such as limits, walls and frames.")
    raise BadInput("invalid", faults.listed())
