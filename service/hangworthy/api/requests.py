"""What every controller reads of a request, and how it answers: venues, parameters, media type, entity tags, links."""

import hashlib
import re
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

import msgspec
from litestar import MediaType, Request, Response

from hangworthy.api.access import Caller
from hangworthy.api.book import View
from hangworthy.api.bounds import LONGEST_TEXT, MOST_ITEMS, USUAL_ITEMS
from hangworthy.api.core import Service
from hangworthy.api.edge import SLASH
from hangworthy.api.problems import MEDIA_TYPE, NO_HISTORY, NOT_FOUND, QUERY, Refused
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.reading import nearest
from hangworthy.history.port import History
from hangworthy.intake import InputFault
from hangworthy.intake.faults import quote

AnyRequest = Request[Any, Any, Any]
_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\Z")
_TAG = re.compile(r'(W/)?"([\x21\x23-\x7e\x80-\xff]*)"')


def service_of(request: AnyRequest) -> Service:
    """Return the service that a request is for."""
    service: Service = request.app.state.service
    return service


def caller_of(request: AnyRequest) -> Caller:
    """Return who calls, as the guard found out."""
    caller: Caller = request.scope["state"]["caller"]
    return caller


def history_of(request: AnyRequest) -> History:
    """Return the history. Raises Refused where none is kept."""
    history = service_of(request).history
    if history is None:
        raise Refused(NO_HISTORY, NO_HISTORY.advice)
    return history


def venues_of(request: AnyRequest) -> View:
    """Return the venues that the caller may know of."""
    return service_of(request).book.view(caller_of(request).venues)


def no_venue(view: View, name: str) -> Refused:
    """Return the refusal for an address or a query that names a venue which is not there for the caller."""
    return Refused(NOT_FOUND, f"There is no venue {quote(name)}.{nearest(name, list(view.evaluators)) or ' See /venues.'}")


def evaluator_asked(request: AnyRequest, given: Mapping[str, str]) -> Evaluator:
    """Return the evaluator of the venue that the parameter venue names, or of the default one. Raises Refused."""
    view = venues_of(request)
    name = given.get("venue", view.default)
    if name is None:
        raise bad_query("Name the venue with venue=; see /venues.")
    if name not in view.evaluators:
        raise no_venue(view, name)
    return view.evaluators[name]


def json_answer(content: bytes, status: int = 200, headers: dict[str, str] | None = None) -> Response[bytes]:
    """Return an answer that is JSON already."""
    return Response(content, status_code=status, media_type=MediaType.JSON, headers=headers)


def struct_answer(answer: msgspec.Struct, headers: dict[str, str] | None = None) -> Response[bytes]:
    """Return an answer as JSON."""
    return json_answer(msgspec.json.encode(answer), headers=headers)


def path_text(request: AnyRequest, name: str) -> str:
    """Return a parameter of the path as it was meant: a slash that was sent as %2F belongs to it."""
    return str(request.path_params[name]).replace(SLASH, "/")


def is_id(text: str) -> bool:
    """Return whether a text could be the id of an evaluation."""
    return _ID.match(text) is not None


def bad_query(message: str) -> Refused:
    """Return the problem for one query parameter."""
    return Refused(QUERY, message, [InputFault("", message)])


def query(request: AnyRequest, *allowed: str) -> Mapping[str, str]:
    """Return the query parameters. Raises Refused for one that is not known, or given twice."""
    faults, found = [], dict[str, str]()
    for name, value in request.query_params.multi_items():
        if name not in allowed:
            known = f" Known are: {', '.join(allowed)}." if allowed else " This address takes none."
            faults.append(InputFault("", f"There is no query parameter {quote(name)}.{nearest(name, list(allowed)) or known}"))
        elif name in found:
            faults.append(InputFault("", f"The query parameter {name} is given twice; give it once."))
        found[name] = str(value)
    if faults:
        raise Refused(QUERY, faults[0].message, faults[:100])
    return found


def read_limit(given: Mapping[str, str]) -> int:
    """Return how many items a page may hold. Raises Refused."""
    text = given.get("limit", str(USUAL_ITEMS))
    if not (text.isascii() and text.isdigit() and len(text) <= 9 and 1 <= int(text) <= MOST_ITEMS):
        raise bad_query(f"The query parameter limit must be a whole number from 1 to {MOST_ITEMS}.")
    return int(text)


def read_id(given: Mapping[str, str], name: str) -> str | None:
    """Return a parameter that holds an evaluation's id. Raises Refused."""
    text = given.get(name)
    if text is not None and not is_id(text):
        raise bad_query(f"The query parameter {name} must be the id of an evaluation, as lists state it.")
    return text


def read_text(given: Mapping[str, str], name: str) -> str | None:
    """Return a parameter that holds a text. Raises Refused for one that no record can hold."""
    text = given.get(name)
    if text is not None and (not 0 < len(text) <= LONGEST_TEXT or "\0" in text):
        raise bad_query(f"The query parameter {name} must be a text of 1 to {LONGEST_TEXT} characters.")
    return text


def read_choice(given: Mapping[str, str], name: str, choices: list[str]) -> str | None:
    """Return a parameter that is one of a few words. Raises Refused."""
    text = given.get(name)
    if text is not None and text not in choices:
        raise bad_query(f"The query parameter {name} must be one of: {', '.join(choices)}.{nearest(text, choices)}")
    return text


def read_moment(given: Mapping[str, str], name: str) -> datetime | None:
    """Return a parameter that holds a moment. Raises Refused for one without a zone, since it would mean another time elsewhere."""
    text = given.get(name)
    if text is None:
        return None
    try:
        moment = msgspec.convert(text, datetime)
        return moment.astimezone(UTC) if moment.tzinfo is not None else _no_moment(name)
    except (msgspec.ValidationError, ValueError, OverflowError):
        return _no_moment(name)


def _no_moment(name: str) -> datetime:
    raise bad_query(f"The query parameter {name} must be a moment with its zone, such as 2026-03-31T12:00:00Z.") from None


def check_media_type(request: AnyRequest) -> None:
    """Refuse a body that is not marked as plain JSON in UTF-8."""
    given_headers = dict(request.scope["headers"])
    if given_headers.get(b"content-type") == b"application/json" and b"content-encoding" not in given_headers:
        return
    kind, _, rest = request.headers.get("content-type", "").partition(";")
    if kind.strip().lower() != "application/json":
        given = f"{quote(kind.strip())} was sent" if kind.strip() else "there was no Content-Type"
        raise Refused(MEDIA_TYPE, f"Send the header Content-Type: application/json; {given}.")
    name, _, value = rest.partition("=")
    if name.strip().lower() == "charset" and value.strip().strip('"').lower() not in ("utf-8", "utf8"):
        raise Refused(MEDIA_TYPE, "JSON is always UTF-8; send application/json without another charset.")
    if request.headers.get("content-encoding", "identity").lower() != "identity":
        raise Refused(MEDIA_TYPE, "Send the body as it is, without a Content-Encoding.")


def etag_of(content: bytes) -> str:
    """Return the entity tag of a body."""
    return f'"{hashlib.sha256(content).hexdigest()[:32]}"'


def names_tag(header: str, etag: str, *, weak: bool) -> bool:
    """Return whether an If-Match or If-None-Match names an entity tag, or any (RFC 9110, 8.8.3.2: ``weak`` lets weak tags count)."""
    if header.strip() == "*":
        return True
    return any(f'"{tag}"' == etag and (weak or not mark) for mark, tag in _TAG.findall(header))


def link(path: str, parameters: Mapping[str, str], relation: str) -> str:
    """Return one link of a Link header (RFC 8288)."""
    return f'<{path}?{urlencode(parameters)}>; rel="{relation}"'
