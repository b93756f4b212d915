"""Controllers of works: one work's life, and its erasure."""

from urllib.parse import quote

from litestar import Response, delete, get

from hangworthy.api.access import ADMIN, READ
from hangworthy.api.answers_history import ErasedAnswer, MomentList, moment
from hangworthy.api.bounds import LONGEST_REF, USUAL_ITEMS
from hangworthy.api.problems import NOT_FOUND, Refused
from hangworthy.api.queries import evaluation_id, limit, query
from hangworthy.api.requests import (
    AnyRequest,
    caller_of,
    history_of,
    link,
    path_text,
    service_of,
    struct_answer,
)


def _ref(request: AnyRequest) -> str:
    """Return the ref in the path. A text that can be no ref leads nowhere; no store is asked for it."""
    ref = path_text(request, "ref")
    if len(ref) > LONGEST_REF or "\0" in ref:
        raise Refused(NOT_FOUND, f"A work's ref has at most {LONGEST_REF} characters.")
    return ref


@get("/works/{ref:str}/history", needs=READ)
async def show_life(request: AnyRequest) -> Response[bytes]:
    """List the recorded evaluations of one work, newest first."""
    given = query(request, limit=limit, after=evaluation_id)
    most, after = given["limit"] or USUAL_ITEMS, given["after"]
    ref = _ref(request)
    found = await history_of(request).moments(ref, caller_of(request).venues, after=after, most=most + 1)
    shown, headers = found[:most], None
    if len(found) > most:
        path = f"/works/{quote(ref, safe='')}/history"
        headers = {"link": link(path, {**request.query_params, "after": shown[-1].id}, "next")}
    return struct_answer(MomentList(tuple(map(moment, shown))), headers)


@delete("/works/{ref:str}", needs=ADMIN, status_code=200)
async def erase_work(request: AnyRequest) -> Response[bytes]:
    """Erase one work's facts from every evaluation at venues that the caller may know of."""
    query(request)
    ref, caller = _ref(request), caller_of(request)
    erased = await history_of(request).erase(ref, caller.venues, service_of(request).now(), caller.id or None)
    service_of(request).forget()
    return struct_answer(ErasedAnswer(ref, erased.evaluations, erased.digests, erased.plans))
