"""Problems: every answer that is no answer, after RFC 9457, each with a stable type."""

import logging
import traceback
from collections.abc import Iterable
from pathlib import PurePath
from typing import Any

import msgspec
from litestar import Request, Response
from litestar.exceptions import HTTPException

from hangworthy.intake import BadInput, InputFault

PROBLEM_JSON = "application/problem+json"
_GONE = "client disconnected prematurely"  # the framework's words for a client that hung up: nobody's fault here
_LOG = logging.getLogger("hangworthy.errors")

AnyRequest = Request[Any, Any, Any]


class Problem(msgspec.Struct, frozen=True, omit_defaults=True):
    """Why a request was not answered (RFC 9457). ``type`` is stable and names the kind; ``instance`` is the request's id.

    ``errors`` lists every fault that was found, each with its place.
    """

    type: str
    title: str
    status: int
    detail: str
    instance: str = ""
    errors: tuple[InputFault, ...] = ()


class Kind(msgspec.Struct, frozen=True):
    """One kind of problem: the last part of its type, its status, its title, and what to do about it."""

    name: str
    status: int
    title: str
    advice: str

    @property
    def type(self) -> str:
        """The URI of the type, relative to the service."""
        return f"/problems/{self.name}"


MALFORMED = Kind("malformed-body", 400, "The body is not JSON that we can read", "Put the text right at the place that is named.")
BAD_REQUEST = Kind("bad-request", 400, "The request cannot be read", "Check the address, the headers and the host.")
NOT_FOUND = Kind("not-found", 404, "There is nothing at this address", "See /openapi.json for what there is.")
NOT_ALLOWED = Kind("method-not-allowed", 405, "This address does not take that method", "Use one of the methods in the Allow header.")
TOO_LARGE = Kind("body-too-large", 413, "The body is too large", "Send fewer works at once.")
MEDIA_TYPE = Kind("unsupported-media-type", 415, "The body is not marked as JSON", "Send the header Content-Type: application/json.")
INVALID = Kind("invalid-facts", 422, "Some of what was sent cannot be used", "Put right each place under errors; all are listed.")
QUERY = Kind("invalid-query", 422, "A query parameter cannot be used", "Put right each parameter listed under errors.")
INTERNAL = Kind("internal-error", 500, "Something went wrong on our side", "Try once more, then report the request id in instance.")
UNAVAILABLE = Kind("unavailable", 503, "The service cannot answer now", "Try again in a little while.")
KINDS = (MALFORMED, BAD_REQUEST, NOT_FOUND, NOT_ALLOWED, TOO_LARGE, MEDIA_TYPE, INVALID, QUERY, INTERNAL, UNAVAILABLE)
_BY_STATUS = {400: BAD_REQUEST, 404: NOT_FOUND, 405: NOT_ALLOWED, 413: TOO_LARGE, 415: MEDIA_TYPE, 422: INVALID, 503: UNAVAILABLE}


class ProblemKind(msgspec.Struct, frozen=True):
    """What a type of problem means, and what to do about it."""

    type: str
    status: int
    title: str
    advice: str


def explained(name: str) -> ProblemKind | None:
    """Return the kind of problem whose type ends in a name."""
    return next((ProblemKind(kind.type, kind.status, kind.title, kind.advice) for kind in KINDS if kind.name == name), None)


class Refused(Exception):
    """Raised by a controller to answer with a problem."""

    def __init__(self, kind: Kind, detail: str, errors: Iterable[InputFault] = ()) -> None:
        """Hold the kind, the detail and the faults."""
        self.kind, self.detail, self.errors = kind, detail, tuple(errors)
        super().__init__(kind.name)


def refusal_of(bad: BadInput) -> Refused:
    """Return the problem for a body that cannot be used."""
    faults = bad.faults
    if bad.kind == "malformed":
        return Refused(MALFORMED, faults[0].message if faults else MALFORMED.advice, faults)
    count = "One thing needs" if len(faults) == 1 else f"{len(faults)} things need"
    return Refused(INVALID, f"{count} to be put right; see errors.", faults)


def handle_refused(request: AnyRequest, error: Refused) -> Response[bytes]:
    """Answer with the problem that a controller raised."""
    return _answer(request, error.kind, error.detail, error.errors)


def handle_http(request: AnyRequest, error: HTTPException) -> Response[bytes]:
    """Answer what the framework refuses: unknown paths, wrong methods, bodies that are too large."""
    kind = _BY_STATUS.get(error.status_code)
    if kind is None:
        kind = BAD_REQUEST if 400 <= error.status_code < 500 else INTERNAL
    if kind is INTERNAL and error.detail != _GONE:
        _note(error)
    return _answer(request, kind, kind.advice, headers=error.headers)


def handle_any(request: AnyRequest, error: Exception) -> Response[bytes]:
    """Answer what nobody foresaw, without a trace; the log says where it happened, but never a value."""
    _note(error)
    return _answer(request, INTERNAL, INTERNAL.advice)


def _note(error: Exception) -> None:
    """Log kind and place of an error. Its text is left out: it may hold a work's facts."""
    frames = traceback.extract_tb(error.__traceback__)[-4:]
    places = " < ".join(f"{PurePath(frame.filename).name}:{frame.lineno} {frame.name}" for frame in reversed(frames))
    _LOG.error("%s at %s", type(error).__name__, places or "unknown place")


def _answer(
    request: AnyRequest, kind: Kind, detail: str, errors: tuple[InputFault, ...] = (), headers: dict[str, str] | None = None
) -> Response[bytes]:
    problem = Problem(kind.type, kind.title, kind.status, detail, request.scope.get("state", {}).get("instance", ""), errors)
    return Response(msgspec.json.encode(problem), status_code=kind.status, media_type=PROBLEM_JSON, headers=headers)
