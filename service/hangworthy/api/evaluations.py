"""Controllers of evaluations: ask, read again, list, compare, ask again."""

import asyncio
from collections.abc import Mapping, Sequence
from typing import Any

from litestar import Response, get, post

from hangworthy.api.access import EVALUATE, READ
from hangworthy.api.answers_history import ChangesAnswer, EvaluationList, summary
from hangworthy.api.bounds import LONGEST_TEXT, USUAL_ITEMS, VENUE_VERSIONS
from hangworthy.api.problems import BAD_KEY, FORBIDDEN, NOT_FOUND, Refused, refusal_of
from hangworthy.api.queries import Reader, bad_query, choice, evaluation_id, is_id, limit, moment, query, words
from hangworthy.api.recording import idempotency, read_key, record
from hangworthy.api.replaying import decoded, replay
from hangworthy.api.requests import (
    AnyRequest,
    caller_of,
    check_media_type,
    history_of,
    json_answer,
    link,
    path_text,
    service_of,
    struct_answer,
)
from hangworthy.contract.effect import Outcome, Stage
from hangworthy.engine.compare import compare
from hangworthy.engine.reading import nearest
from hangworthy.history.port import Filters, Stored, Summary
from hangworthy.intake import BadInput
from hangworthy.intake.faults import quote

PATH = "/evaluations"
_KEEPS_NOTHING = "This key is for browsers, and nothing is recorded for it; send record=false."
_NO_HISTORY = "This service keeps no history; leave record out, or send record=false."


def location(id_: str) -> str:
    """Return the address of a recorded evaluation."""
    return f"{PATH}/{id_}"


def records(request: AnyRequest, wish: str | None) -> bool:
    """Return whether an evaluation is to be kept: where there is a history, unless the caller says no."""
    kept = service_of(request).history is not None
    if wish != "false" and caller_of(request).public:
        raise Refused(FORBIDDEN, _KEEPS_NOTHING)
    return kept and wish != "false"


def wish_to_record(request: AnyRequest) -> Reader:
    """Return the reader of whether to record. Without a history the wish is refused: saying nothing would look like a yes."""

    def read(name: str, text: str) -> str:
        if text not in ("true", "false"):
            raise ValueError(f"The query parameter {name} must be true or false, in small letters.")
        if text == "true" and service_of(request).history is None:
            raise ValueError(_NO_HISTORY)
        return text

    return read


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
    wish = query(request, record=wish_to_record(request))["record"] if request.scope["query_string"] else None
    keeps, key = records(request, wish), idempotency_key(request)
    body = await request.body()
    try:
        if keeps:
            kept, state["works"] = await record(service, body, caller, None if key is None else idempotency(caller, key, body))
            return json_answer(kept.answer, 201, {"location": location(kept.id)})
        view = service.book.view(caller.venues)
        answer, state["works"] = await service.in_turn(body, lambda: service.evaluate(body, view))
    except BadInput as bad:
        raise refusal_of(bad) from None
    return json_answer(answer)


async def stored(request: AnyRequest, id_: str) -> Stored:
    """Return a recorded evaluation. One at a venue that the caller may not know of is not there."""
    one = await history_of(request).get(id_)
    if one is None or not caller_of(request).sees(one.venue):
        raise Refused(NOT_FOUND, "There is no such evaluation. See /evaluations.")
    return one


def path_id(request: AnyRequest) -> str:
    """Return the id in the path. What is none leads nowhere; no store is asked for it."""
    history_of(request)
    id_ = path_text(request, "id")
    if not is_id(id_):
        raise Refused(NOT_FOUND, "There is no such evaluation. See /evaluations.")
    return id_


@get(PATH + "/{id:str}", needs=READ)
async def show_evaluation(request: AnyRequest) -> Response[bytes]:
    """Give a recorded evaluation again, to the byte."""
    query(request)
    one = await stored(request, path_id(request))
    return json_answer(one.answer)


_FILTERS: dict[str, Reader] = {
    **dict.fromkeys(("venue", "artist_ref", "ref", "unmet", "pack", "pack_version"), words),
    "outcome": choice(*Outcome),
    "stage": choice(*Stage),
    "since": moment,
    "until": moment,
}


async def _readers(request: AnyRequest) -> dict[str, Reader]:
    """Return the readers of a list's query. Of a rule or a pack that nobody knows an empty list would say that nothing is wrong."""
    asked, service = request.query_params, service_of(request)
    readers = {**_FILTERS, "limit": limit, "after": evaluation_id, "before": _before(request)}
    for name, known, what in (
        ("unmet", [entry.code for entry in service.catalogue.entries], "rule"),
        ("pack", service.pack_names, "pack"),
    ):
        text = asked.get(name)
        if text and text not in known and len(asked.getall(name)) == 1 and not await _kept(request, name, text):
            readers[name] = _nobody_knows(f"There is no {what} {quote(text)}, and no evaluation was kept with one.{nearest(text, known)}")
    return readers


async def _kept(request: AnyRequest, name: str, text: str) -> bool:
    """Return whether the caller may see an evaluation with this: packs that are gone by now have left theirs behind."""
    if len(text) > LONGEST_TEXT or "\0" in text:
        return True  # it is refused for what it is
    named: dict[str, Any] = {name: text}
    return bool(await history_of(request).page(Filters(venues=caller_of(request).venues, **named), after=None, before=None, most=1))


def _nobody_knows(sentence: str) -> Reader:
    def read(_: str, __: str) -> str:
        raise ValueError(sentence)

    return read


def _before(request: AnyRequest) -> Reader:
    def read(name: str, text: str) -> str:
        if "after" in request.query_params:
            raise ValueError("Give after or before, not both.")
        return evaluation_id(name, text)

    return read


@get(PATH, needs=READ)
async def list_evaluations(request: AnyRequest) -> Response[bytes]:
    """List recorded evaluations, newest first."""
    history_of(request)
    given = query(request, **await _readers(request))
    most, after, before = given["limit"] or USUAL_ITEMS, given["after"], given["before"]
    filters = Filters(venues=caller_of(request).venues, **{name: given[name] for name in _FILTERS})
    # One more than asked for tells whether there is a further page.
    found = await history_of(request).page(filters, after=after, before=before, most=most + 1)
    more = len(found) > most
    shown = found[more:] if before is not None else found[:most]
    links = _links(request.query_params, shown, newer=after is not None or (before is not None and more), older=before is not None or more)
    return struct_answer(EvaluationList(tuple(map(summary, shown))), {"link": links} if links else None)


def _links(given: Mapping[str, str], shown: Sequence[Summary], *, newer: bool, older: bool) -> str:
    kept = {name: value for name, value in given.items() if name not in ("after", "before")}
    ends = (("prev", newer, "before", 0), ("next", older, "after", -1))
    return ", ".join(link(PATH, {**kept, name: shown[place].id}, relation) for relation, there, name, place in ends if there and shown)


@get(PATH + "/{id:str}/changes", needs=READ)
async def show_changes(request: AnyRequest) -> Response[bytes]:
    """Show what changed from one recorded evaluation to another."""
    since = query(request, since=evaluation_id)["since"]
    after = await stored(request, path_id(request))
    if since is None:
        raise bad_query("since", "Say with since= from which evaluation the changes are wanted.")
    before = await stored(request, since)
    changes = await asyncio.to_thread(lambda: compare(decoded(before), decoded(after)))
    return struct_answer(ChangesAnswer(after.id, before.id, changes))


@post(PATH + "/{id:str}/replay", needs=READ, status_code=200)
async def replay_evaluation(request: AnyRequest) -> Response[bytes]:
    """Ask a recorded evaluation again, under today's packs."""
    version = query(request, venue_version=choice(*VENUE_VERSIONS))["venue_version"]
    one = await stored(request, path_id(request))
    return struct_answer(await replay(service_of(request), one, stored_version=version == "stored"))
