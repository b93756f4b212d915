"""Recording: an evaluation is answered after it was kept, and a request that is sent again with its key gets the same answer again."""

import asyncio
import hashlib
import re
from collections.abc import Awaitable, Callable

import msgspec

from hangworthy.api.access import Caller
from hangworthy.api.bounds import LONGEST_KEY, key_pattern
from hangworthy.api.core import Service
from hangworthy.evaluating import filed
from hangworthy.history.port import HistoryError, Idempotency, Kept, NewEvaluation
from hangworthy.intake import Intake

_KEY = re.compile(key_pattern(LONGEST_KEY).removesuffix("$") + r"\Z")
_TARGET = b"POST /evaluations\n"
Make = Callable[[bytes, Intake, str], Awaitable[NewEvaluation]]  # of a body, for whoever may use this intake, under an id


def idempotency(caller: Caller, key: str, body: bytes) -> Idempotency:
    """Return a client's key for one request, within the caller's own keys."""
    return Idempotency(owner=caller.id, key=key, digest=hashlib.sha256(_TARGET + body).digest())


def read_key(value: str) -> str | None:
    """Return the key in a header without the quotation marks in which the IETF draft writes it; None for a bad one."""
    return value.strip('"') if _KEY.match(value) else None


async def record(
    service: Service, body: bytes, caller: Caller, key: Idempotency | None = None, make: Make | None = None
) -> tuple[Kept, int]:  # fmt: skip
    """Evaluate a body and keep it; return what was kept, and how many works it held. ``make`` evaluates it, by default here.

    Raises BadInput with every fault, and HistoryError when nothing was kept. A key that led to nothing is given free again.
    """
    assert service.history is not None  # noqa: S101 - the caller asked first
    make = make or made_here(service)
    if key is None:
        return await _record(service, body, caller, None, make)
    try:
        kept = await service.history.begin(key, service.now())
    except asyncio.CancelledError:  # the claim may just have been kept
        await asyncio.shield(_abandon(service, key))
        raise
    if kept is not None:
        return kept, 0
    try:
        return await _record(service, body, caller, key, make)
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


async def _record(service: Service, body: bytes, caller: Caller, key: Idempotency | None, make: Make) -> tuple[Kept, int]:
    assert service.history is not None  # noqa: S101 - the caller asked first
    new = await make(body, service.book.view(caller.venues).intake, service.new_id())
    kept = await service.history.record(msgspec.structs.replace(new, made_by=caller.id or None, idempotency=key))
    if not kept.repeated:
        service.metrics.evaluated(new.outcome, recorded=True)
    return kept, len(new.works)


def made_here(service: Service) -> Make:
    """Return what makes an evaluation in this process, when its turn has come."""

    async def make(body: bytes, intake: Intake, id: str) -> NewEvaluation:
        return await service.in_turn(body, lambda: filed(intake, body, service.now(), id=id))

    return make
