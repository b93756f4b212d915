"""Recording: an evaluation is answered after it was kept, and a request that is sent again with its key gets the same answer again."""

import asyncio
import hashlib
import re
from itertools import count
from typing import Any

from hangworthy.api.access import Caller
from hangworthy.api.bounds import LONGEST_KEY, key_pattern
from hangworthy.api.core import Service, day_of, stamp
from hangworthy.contract.finding import WorkAnswer
from hangworthy.engine.answered import Answered
from hangworthy.engine.outline import Telling
from hangworthy.history.port import HistoryError, Idempotency, IndexedWork, Kept, NewEvaluation

_KEY = re.compile(key_pattern(LONGEST_KEY).removesuffix("$") + r"\Z")
_TARGET = b"POST /evaluations\n"


def idempotency(caller: Caller, key: str, body: bytes) -> Idempotency:
    """Return a client's key for one request, within the caller's own keys."""
    return Idempotency(owner=caller.id, key=key, digest=hashlib.sha256(_TARGET + body).digest())


def read_key(value: str) -> str | None:
    """Return the key in a header without the quotation marks in which the IETF draft writes it; None for a bad one."""
    return value.strip('"') if _KEY.match(value) else None


async def record(service: Service, body: bytes, caller: Caller, key: Idempotency | None = None) -> tuple[Kept, int]:
    """Evaluate a body and keep it; return what was kept, and how many works it held.

    Raises BadInput with every fault, and HistoryError when nothing was kept. A key that led to nothing is given free again.
    """
    assert service.history is not None  # noqa: S101 - the caller asked first
    if key is None:
        return await _record(service, body, caller, None)
    try:
        kept = await service.history.begin(key, service.now())
    except asyncio.CancelledError:  # the claim may just have been kept
        await asyncio.shield(_abandon(service, key))
        raise
    if kept is not None:
        return kept, 0
    try:
        return await _record(service, body, caller, key)
    except BaseException:
        # Also when the request is cancelled: a claim that nobody works on would answer 409 until it expires.
        await asyncio.shield(_abandon(service, key))
        raise


async def _abandon(service: Service, key: Idempotency) -> None:
    assert service.history is not None  # noqa: S101 - the caller asked first
    try:
        await service.history.abandon(key)
    except HistoryError:
        return  # the store cannot be reached; the claim expires by itself


async def _record(service: Service, body: bytes, caller: Caller, key: Idempotency | None) -> tuple[Kept, int]:
    assert service.history is not None  # noqa: S101 - the caller asked first
    view = service.book.view(caller.venues)
    new, works = await service.in_turn(body, lambda: _new(service, body, view, caller, key))
    kept = await service.history.record(new)
    if not kept.repeated:
        service.metrics.evaluated(new.outcome, recorded=True)
    return kept, works


def _new(service: Service, body: bytes, view: Any, caller: Caller, key: Idempotency | None) -> tuple[NewEvaluation, int]:
    at = service.now()
    request, answered = service.evaluated(body, view, day_of(at))
    answered.head.evaluated_at, answered.head.id = stamp(at), service.new_id()
    return _filed(answered, request, body, at, caller, key), len(request.works)


def _filed(answered: Answered, request: Any, body: bytes, at: Any, caller: Caller, key: Idempotency | None) -> NewEvaluation:
    evaluation = answered.head
    return NewEvaluation(
        id=evaluation.id or "",
        at=at,
        request=body,
        answer=answered.encoded(),
        venue=evaluation.venue.name,
        venue_version=evaluation.venue.version,
        stage=evaluation.stage.value,
        outcome=evaluation.outcome.value,
        at_worst=evaluation.at_worst.value,
        settled=evaluation.settled,
        packs={one.name: one.version for one in evaluation.packs},
        works=tuple(map(_indexed, count(), request.works, evaluation.works, answered.told)),
        made_by=caller.id or None,
        idempotency=key,
    )  # fmt: skip


def _indexed(place: int, sent: Any, answer: WorkAnswer, told: Telling) -> IndexedWork:
    return IndexedWork(
        place=place, ref=answer.ref, artist_ref=sent.artist_ref, outcome=answer.outcome.value, at_worst=answer.at_worst.value,
        settled=answer.settled, unmet=told.unmet(),
    )  # fmt: skip
