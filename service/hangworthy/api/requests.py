"""What every controller reads of a request, and how it answers: venues, parameters, media type, entity tags, links."""

import hashlib
import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

import msgspec
from litestar import MediaType, Request, Response

from hangworthy.api.access import Caller
from hangworthy.api.book import View
from hangworthy.api.core import Service
from hangworthy.api.edge import SLASH
from hangworthy.api.problems import MEDIA_TYPE, NO_HISTORY, NOT_FOUND, Refused
from hangworthy.api.queries import bad_query
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.reading import nearest
from hangworthy.history.port import History
from hangworthy.intake.faults import quote

AnyRequest = Request[Any, Any, Any]
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


def evaluator_asked(request: AnyRequest, given: Mapping[str, Any]) -> Evaluator:
    """Return the evaluator of the venue that the parameter venue names, or of the default one. Raises Refused."""
    view = venues_of(request)
    name = given.get("venue") or view.default
    if name is None:
        raise bad_query("venue", "Name the venue with venue=; see /venues.")
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
