"""Controllers: they read the request, ask the service, and say how it went. Nothing is decided here."""

import asyncio
from collections.abc import Mapping
from typing import Any

import msgspec
from litestar import MediaType, Request, Response, get, post

from hangworthy.api import describe
from hangworthy.api.answers import Live
from hangworthy.api.core import LARGE, Service, encoded
from hangworthy.api.problems import MEDIA_TYPE, NOT_FOUND, QUERY, Refused, explained, refusal_of
from hangworthy.engine.reading import nearest
from hangworthy.intake import BadInput, InputFault
from hangworthy.intake.faults import quote

AnyRequest = Request[Any, Any, Any]
_LIVE = msgspec.json.encode(Live())
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
_NO_HISTORY = "This service keeps no history; leave record out, or send record=false."


def _service(request: AnyRequest) -> Service:
    service: Service = request.app.state.service
    return service


def _json(content: bytes) -> Response[bytes]:
    return Response(content, media_type=MediaType.JSON)


def _query(request: AnyRequest, *allowed: str) -> Mapping[str, str]:
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


def _check_media_type(request: AnyRequest) -> None:
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


def _check_record(record: str) -> None:
    """Refuse the wish to keep an evaluation: without a history, saying nothing would look like a yes."""
    if record == "true":
        raise Refused(QUERY, _NO_HISTORY, [InputFault("", _NO_HISTORY)])
    if record != "false":
        message = "The query parameter record must be true or false, in small letters."
        raise Refused(QUERY, message, [InputFault("", message)])


@post("/evaluations", status_code=200)
async def evaluate_works(request: AnyRequest) -> Response[bytes]:
    """Evaluate one to 500 works."""
    service = _service(request)
    _check_media_type(request)
    if request.scope["query_string"]:
        _check_record(_query(request, "record").get("record", "false"))
    body = await request.body()
    try:
        answer, count = await asyncio.to_thread(service.evaluate, body) if len(body) > LARGE else service.evaluate(body)
    except BadInput as bad:
        raise refusal_of(bad) from None
    request.scope["state"]["works"] = count
    return _json(answer)


@get("/packs", sync_to_thread=False)
def list_packs(request: AnyRequest) -> Response[bytes]:
    """List the installed packs."""
    _query(request)
    return _json(_service(request).packs)


@get("/rules", sync_to_thread=False)
def list_rules(request: AnyRequest) -> Response[bytes]:
    """List the rules, of one pack or of all."""
    service, pack = _service(request), _query(request, "pack").get("pack")
    if pack is not None and pack not in service.pack_names:
        message = f"There is no pack {quote(pack)}.{nearest(pack, service.pack_names) or ' See /packs.'}"
        raise Refused(QUERY, message, [InputFault("", message)])
    return _json(encoded(describe.summaries(one for one in service.rules.values() if pack in (None, one.pack))))


@get("/rules/{code:str}", sync_to_thread=False)
def show_rule(request: AnyRequest) -> Response[bytes]:
    """Show one rule in full."""
    _query(request)
    service, code = _service(request), str(request.path_params["code"])
    if code not in service.rules:
        raise Refused(NOT_FOUND, f"There is no rule {quote(code)}.{nearest(code, list(service.rules)) or ' See /rules.'}")
    return _json(encoded(service.rules[code]))


def _no_venue(service: Service, name: str) -> Refused:
    guess = nearest(name, list(service.evaluators))
    return Refused(NOT_FOUND, f"There is no venue {quote(name)}.{guess or ' See /venues.'}")


@get("/limits", sync_to_thread=False)
def list_limits(request: AnyRequest) -> Response[bytes]:
    """List the limits in force at a venue."""
    service = _service(request)
    name = _query(request, "venue").get("venue", service.default)
    if name not in service.evaluators:
        raise _no_venue(service, name)
    return _json(encoded(describe.limits(service.evaluators[name].ruleset)))


@get("/venues", sync_to_thread=False)
def list_venues(request: AnyRequest) -> Response[bytes]:
    """List the venues."""
    _query(request)
    service = _service(request)
    return _json(encoded(describe.venues(service.venues.values(), service.default)))


@get("/venues/{name:str}", sync_to_thread=False)
def show_venue(request: AnyRequest) -> Response[bytes]:
    """Show one venue in full."""
    _query(request)
    service, name = _service(request), str(request.path_params["name"])
    if name not in service.evaluators:
        raise _no_venue(service, name)
    return _json(encoded(describe.venue(service.evaluators[name].ruleset, service.default)))


@get("/problems/{name:str}", sync_to_thread=False)
def explain_problem(request: AnyRequest) -> Response[bytes]:
    """Explain a type of problem."""
    _query(request)
    kind = explained(str(request.path_params["name"]))
    if kind is None:
        raise Refused(NOT_FOUND, "There is no problem of that name. They are listed in /openapi.json.")
    return _json(encoded(kind))


@get("/health/live", sync_to_thread=False)
def check_live(request: AnyRequest) -> Response[bytes]:
    """Say that the service runs."""
    _query(request)
    return _json(_LIVE)


@get("/health/ready", sync_to_thread=False)
def check_ready(request: AnyRequest) -> Response[bytes]:
    """Say with which packs the service answers, and which are at fault."""
    _query(request)
    return _json(_service(request).ready)


@get("/openapi.json", sync_to_thread=False)
def show_document(request: AnyRequest) -> Response[bytes]:
    """Serve the OpenAPI document."""
    _query(request)
    return _json(_service(request).document)


@get("/", sync_to_thread=False)
def show_page(request: AnyRequest) -> Response[bytes]:
    """Serve the human page of the API."""
    _query(request)
    return Response(_service(request).page, media_type=MediaType.HTML, headers={"content-security-policy": _POLICY})


HANDLERS = [
    evaluate_works, list_packs, list_rules, show_rule, list_limits, list_venues, show_venue, explain_problem, check_live, check_ready,
    show_document, show_page,
]  # fmt: skip
