"""Replaying: a recorded request asked again, and its answer held against the one that was given then."""

import asyncio
from typing import Any

import msgspec

from hangworthy.api.answers_history import ReplayAnswer
from hangworthy.api.core import Service
from hangworthy.api.problems import CANNOT_REPLAY, Refused
from hangworthy.engine.compare import causes, compare
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import VenueError
from hangworthy.evaluating import day_of, evaluated, stamp
from hangworthy.history.port import Stored
from hangworthy.intake import BadInput


def decoded(one: Stored) -> tuple[Any, Any]:
    """Return the request and the answer of a recorded evaluation as plain JSON values."""
    return msgspec.json.decode(one.request), msgspec.json.decode(one.answer)


async def replay(service: Service, one: Stored, *, stored_version: bool) -> ReplayAnswer:
    """Ask again, at the venue as it is or as it was. Raises Refused where today's packs cannot answer."""
    if not decoded(one)[0]["works"]:
        raise Refused(CANNOT_REPLAY, "Every work of this evaluation was erased; nothing is left to ask about.")
    evaluator = await evaluator_of(service, one, stored_version)
    return await asyncio.to_thread(_replayed, service, one, evaluator)


async def evaluator_of(service: Service, one: Stored, stored_version: bool) -> Evaluator:
    """Return what asks the rules of an evaluation's venue, as it is or as it was. Raises Refused where nothing can."""
    current = service.book.evaluators.get(one.venue)
    if current is not None and (not stored_version or _is_the_one(current, one)):
        return current
    if stored_version and service.history is not None:
        kept = await service.history.venues.version(one.venue, one.venue_version)
        if kept is not None:
            try:
                return await asyncio.to_thread(service.book.at, kept)
            except VenueError as error:
                raise Refused(CANNOT_REPLAY, f"Today's packs cannot use the venue as it was: {error}") from None
    raise Refused(CANNOT_REPLAY, "The venue is not there any more, so nothing says which limits to use.")


def _is_the_one(evaluator: Evaluator, one: Stored) -> bool:
    return evaluator.ruleset.venue_used.version == one.venue_version


def _replayed(service: Service, one: Stored, evaluator: Evaluator) -> ReplayAnswer:
    """Evaluate the stored request.

    A request that named no venue means the one that answered, whatever the default is today. Days are counted up to the day on which it
    was answered. The new answer gets the old one's id, so that the two are the same to the byte when nothing changed: they are compared
    with the old time stamp in its place, and the answer then gets its own. Stamps are all of one length, and the encoder is the one that
    wrote the answer then.
    """
    try:
        _, answered = evaluated(service.book.view_of_one(one.venue, evaluator).intake, one.request, day_of(one.at))
    except BadInput as bad:
        raise Refused(CANNOT_REPLAY, "Today's packs no longer read what was sent; see errors.", bad.faults) from None
    then, now = decoded(one), service.now()
    evaluation = answered.head
    evaluation.id, evaluation.evaluated_at = one.id, then[1].get("evaluated_at")
    again = answered.encoded()
    changes = compare(then, (then[0], msgspec.json.decode(again)))
    evaluation.evaluated_at = stamp(now)
    return ReplayAnswer(
        one.id, now, again == one.answer, len(one.erased), causes(changes), changes, msgspec.Raw(answered.encoded())
    )  # fmt: skip
