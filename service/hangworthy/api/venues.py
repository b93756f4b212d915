"""Controllers of venues: list, show, keep a new version, list the versions, and the limits in force."""

import asyncio
from typing import Any

import msgspec
from litestar import Response, get, put

from hangworthy.api import describe
from hangworthy.api.access import ANY_KEY, CHANGE_VENUES, SEE_VERSIONS
from hangworthy.api.answers_history import VersionAnswer, VersionList
from hangworthy.api.bounds import LONGEST_VENUE_NAME
from hangworthy.api.keeping import keep
from hangworthy.api.problems import NEEDS_MATCH, NOT_FOUND, STALE, Refused, refusal_of
from hangworthy.api.queries import query, whole, words
from hangworthy.api.requests import (
    AnyRequest,
    caller_of,
    check_media_type,
    evaluator_asked,
    history_of,
    names_tag,
    no_venue,
    path_text,
    service_of,
    struct_answer,
    venues_of,
)
from hangworthy.history.port import VenueVersion
from hangworthy.intake import BadInput


def _etag(kept: VenueVersion) -> str:
    return f'"{kept.digest}"'


@get("/limits", sync_to_thread=False, needs=ANY_KEY)
def list_limits(request: AnyRequest) -> Response[bytes]:
    """List the limits in force at a venue."""
    return struct_answer(describe.limits(evaluator_asked(request, query(request, venue=words)).ruleset))


@get("/venues", sync_to_thread=False, needs=ANY_KEY)
def list_venues(request: AnyRequest) -> Response[bytes]:
    """List the venues."""
    query(request)
    view = venues_of(request)
    return struct_answer(describe.venues((one.ruleset.venue for one in view.evaluators.values()), view.default))


@get("/venues/{name:str}", needs=ANY_KEY)
async def show_venue(request: AnyRequest) -> Response[bytes]:
    """Show one venue in full, as it is or as it was."""
    version = query(request, version=_version)["version"]
    view, name = venues_of(request), path_text(request, "name")
    if name not in view.evaluators:
        raise no_venue(view, name)
    service = service_of(request)
    if version is not None:
        kept = await history_of(request).venues.version(name, version)
        if kept is None:
            raise Refused(NOT_FOUND, "There is no such version of this venue. See /venues/{name}/versions.")
        return _shown(request, describe.kept_venue(service.catalogue, kept, view.default), kept)
    answer = describe.venue(view.evaluators[name].ruleset.venue, service.catalogue, view.default)
    return _shown(request, answer, service.book.kept(name))


def _shown(request: AnyRequest, answer: msgspec.Struct, kept: VenueVersion | None) -> Response[bytes]:
    return struct_answer(answer, {"etag": _etag(kept)} if kept else None)


def _version(name: str, text: str) -> int:
    number = whole(text)
    if number is None:
        raise ValueError(f"The query parameter {name} must be a whole number of at least 1; see /venues/{{name}}/versions.")
    return number


@get("/venues/{name:str}/versions", needs=SEE_VERSIONS)
async def list_versions(request: AnyRequest) -> Response[bytes]:
    """List all versions of a venue, newest first."""
    query(request)
    history, name, view = history_of(request), path_text(request, "name"), venues_of(request)
    if name not in view.evaluators:
        raise no_venue(view, name)
    found = await history.venues.versions(name)
    return struct_answer(VersionList(tuple(VersionAnswer(one.version, one.at, _etag(one), one.made_by) for one in found), name))


@put("/venues/{name:str}", needs=CHANGE_VENUES)
async def keep_venue(request: AnyRequest) -> Response[bytes]:
    """Keep a new venue, or the next version of one."""
    query(request)
    history, caller, name, service = history_of(request), caller_of(request), path_text(request, "name"), service_of(request)
    if not caller.sees(name) or not _can_be_a_name(name):
        raise no_venue(venues_of(request), name)
    check_media_type(request)
    body = await request.body()
    current = await history.venues.version(name)
    _check_preconditions(request, current)
    try:
        kept, evaluator = await keep(service, name, body, current, caller)
    except BadInput as bad:
        raise refusal_of(bad) from None
    answer: Any = await asyncio.to_thread(describe.venue, evaluator.ruleset.venue, service.catalogue, service.book.default)
    response = _shown(request, answer, kept)
    response.status_code = 201 if current is None else 200
    return response


def _can_be_a_name(name: str) -> bool:
    """Return whether a venue may be called so: one line of text that an address can hold."""
    return 0 < len(name) <= LONGEST_VENUE_NAME and name.isprintable() and name not in (".", "..")


def _check_preconditions(request: AnyRequest, current: VenueVersion | None) -> None:
    """Hold a change to the version that it was made from (RFC 9110, 13.1; RFC 6585, 3)."""
    match, none_match = request.headers.get("if-match"), request.headers.get("if-none-match")
    if match is None and none_match is None:
        raise Refused(NEEDS_MATCH, NEEDS_MATCH.advice)
    if match is not None and (current is None or not names_tag(match, _etag(current), weak=False)):
        raise Refused(STALE, "There is no such venue yet; send If-None-Match: *." if current is None else STALE.advice)
    if none_match is not None and current is not None and names_tag(none_match, _etag(current), weak=True):
        raise Refused(STALE, "There is a venue of that name already; send If-Match with its ETag to change it.")
