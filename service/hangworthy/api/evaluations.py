"""Controllers of evaluations: ask, read again, list, compare, ask again."""

import asyncio
from collections.abc import Mapping, Sequence

from litestar import Response, get, post

from hangworthy.api.access import EVALUATE, READ
from hangworthy.api.answers_history import ChangesAnswer, EvaluationList, summary
from hangworthy.api.bounds import VENUE_VERSIONS
from hangworthy.api.core import LARGE
from hangworthy.api.problems import BAD_KEY, FORBIDDEN, NOT_FOUND, Refused, refusal_of
from hangworthy.api.recording import idempotency, read_key, record
from hangworthy.api.replaying import decoded, replay
from hangworthy.api.requests import (
    AnyRequest,
    bad_query,
    caller_of,
    check_media_type,
    history_of,
    json_answer,
    link,
    path_text,
    query,
    read_choice,
    read_id,
    read_limit,
    read_moment,
    read_text,
    service_of,
    struct_answer,
)
from hangworthy.contract.effect import Outcome, Stage
from hangworthy.engine.compare import compare
from hangworthy.history.port import Filters, Stored, Summary
from hangworthy.intake import BadInput

PATH = "/evaluations"
TEXTS = ("venue", "artist_ref", "ref", "unmet", "pack", "pack_version")
FILTERS = (*TEXTS, "outcome", "stage", "since", "until")
_KEEPS_NOTHING = "This key is for browsers, and nothing is recorded for it; send record=false."
_NO_HISTORY = "This service keeps no history; leave record out, or send record=false."


def location(id_: str) -> str:
    """Return the address of a recorded evaluation."""
    return f"{PATH}/{id_}"


def records(request: AnyRequest, wish: str | None) -> bool:
    """Return whether an evaluation is to be kept: where there is a history, unless the caller says no.

    Without one, the wish is refused: saying nothing would look like a yes.
    """
    kept = service_of(request).history is not None
    if wish not in (None, "true", "false"):
        raise bad_query("The query parameter record must be true or false, in small letters.")
    if wish == "true" and not kept:
        raise bad_query(_NO_HISTORY)
    if wish != "false" and caller_of(request).public:
        raise Refused(FORBIDDEN, _KEEPS_NOTHING)
    return kept and wish != "false"


def idempotency_key(request: AnyRequest) -> str | None:
    """Return the caller's key for the request, if there is one. Raises Refused."""
    given = [value.decode("latin-1") for name, value in request.scope["headers"] if name == b"idempotency-key"]
    if not given:
        return None
    key = read_key(given[0].strip()) if len(given) == 1 else None
    if key is None:
        raise Refused(BAD_KEY, BAD_KEY.advice)
    return key


@post(PATH, needs=EVALUATE, public=True)
async def evaluate_works(request: AnyRequest) -> Response[bytes]:
    """Evaluate one to 500 works, and keep the evaluation where there is a history."""
    state = request.scope["state"]
    if "refused" in state:  # the express lane met it; it is worded here
        raise state["refused"]
    service, caller = service_of(request), caller_of(request)
    check_media_type(request)
    wish = query(request, "record").get("record") if request.scope["query_string"] else None
    keeps, key = records(request, wish), idempotency_key(request)
    body = await request.body()
    try:
        if keeps:
            kept, state["works"] = await record(service, body, caller, None if key is None else idempotency(caller, key, body))
            return json_answer(kept.answer, 201, {"location": location(kept.id)})
        view = service.book.view(caller.venues)
        large = len(body) > LARGE
        answer, state["works"] = await asyncio.to_thread(service.evaluate, body, view) if large else service.evaluate(body, view)
    except BadInput as bad:
        raise refusal_of(bad) from None
    return json_answer(answer)


async def stored(request: AnyRequest, id_: str) -> Stored:
    """Return a recorded evaluation. One at a venue that the caller may not know of is not there."""
    one = await history_of(request).get(id_) if read_id({"id": id_}, "id") else None
    if one is None or not caller_of(request).sees(one.venue):
        raise Refused(NOT_FOUND, "There is no such evaluation. See /evaluations.")
    return one


def path_id(request: AnyRequest) -> str:
    """Return the id in the path. What is none leads nowhere; no store is asked for it."""
    history_of(request)
    try:
        return read_id({"id": path_text(request, "id")}, "id") or ""
    except Refused:
        raise Refused(NOT_FOUND, "There is no such evaluation. See /evaluations.") from None


@get(PATH + "/{id:str}", needs=READ)
async def show_evaluation(request: AnyRequest) -> Response[bytes]:
    """Give a recorded evaluation again, to the byte."""
    query(request)
    one = await stored(request, path_id(request))
    return json_answer(one.answer)


def _filters(given: Mapping[str, str], venues: tuple[str, ...] | None) -> Filters:
    return Filters(
        venues=venues,
        outcome=read_choice(given, "outcome", [*Outcome]),
        stage=read_choice(given, "stage", [*Stage]),
        since=read_moment(given, "since"),
        until=read_moment(given, "until"),
        **{name: read_text(given, name) for name in TEXTS},
    )


@get(PATH, needs=READ)
async def list_evaluations(request: AnyRequest) -> Response[bytes]:
    """List recorded evaluations, newest first."""
    given = query(request, *FILTERS, "limit", "after", "before")
    most, after, before = read_limit(given), read_id(given, "after"), read_id(given, "before")
    if after is not None and before is not None:
        raise bad_query("Give after or before, not both.")
    filters = _filters(given, caller_of(request).venues)
    # One more than asked for tells whether there is a further page.
    found = await history_of(request).page(filters, after=after, before=before, most=most + 1)
    more = len(found) > most
    shown = found[more:] if before is not None else found[:most]
    links = _links(given, shown, newer=after is not None or (before is not None and more), older=before is not None or more)
    return struct_answer(EvaluationList(tuple(map(summary, shown))), {"link": links} if links else None)


def _links(given: Mapping[str, str], shown: Sequence[Summary], *, newer: bool, older: bool) -> str:
    kept = {name: value for name, value in given.items() if name not in ("after", "before")}
    ends = (("prev", newer, "before", 0), ("next", older, "after", -1))
    return ", ".join(link(PATH, {**kept, name: shown[place].id}, relation) for relation, there, name, place in ends if there and shown)


@get(PATH + "/{id:str}/changes", needs=READ)
async def show_changes(request: AnyRequest) -> Response[bytes]:
    """Show what changed from one recorded evaluation to another."""
    since = read_id(query(request, "since"), "since")
    after = await stored(request, path_id(request))
    if since is None:
        raise bad_query("Say with since= from which evaluation the changes are wanted.")
    before = await stored(request, since)
    changes = await asyncio.to_thread(lambda: compare(decoded(before), decoded(after)))
    return struct_answer(ChangesAnswer(after.id, before.id, changes))


@post(PATH + "/{id:str}/replay", needs=READ, status_code=200)
async def replay_evaluation(request: AnyRequest) -> Response[bytes]:
    """Ask a recorded evaluation again, under today's packs."""
    version = read_choice(query(request, "venue_version"), "venue_version", VENUE_VERSIONS)
    one = await stored(request, path_id(request))
    return struct_answer(await replay(service_of(request), one, stored_version=version == "stored"))
