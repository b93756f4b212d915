"""Problems: every answer that is no answer, after RFC 9457, each with a stable type."""

import logging
import traceback
from collections.abc import Iterable
from pathlib import PurePath
from typing import Any

import msgspec
from litestar import Request, Response
from litestar.exceptions import HTTPException

from hangworthy.history.port import Busy, Changed, HistoryError, NoSpace, OtherBody, StillRunning
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
UNAUTHORIZED = Kind("unauthorized", 401, "A valid key is needed", "Send the header Authorization: Bearer, with a key that is valid.")
FORBIDDEN = Kind("forbidden", 403, "The key may not do that", "Use a key that has the scope, or ask for one.")
NOT_FOUND = Kind("not-found", 404, "There is nothing at this address", "See /openapi.json for what there is.")
NO_HISTORY = Kind("no-history", 404, "This service keeps no history", "Ask whoever runs it to set HANGWORTHY_DATABASE.")
NOT_ALLOWED = Kind("method-not-allowed", 405, "This address does not take that method", "Use one of the methods in the Allow header.")
BAD_KEY = Kind(
    "bad-idempotency-key",
    400,
    "The Idempotency-Key cannot be used",
    "Send 1 to 255 printable characters of ASCII, without quotation marks and backslashes inside.",
)
NOT_ACCEPTABLE = Kind("not-acceptable", 406, "None of the forms that you accept can be made", "Accept text/html or application/pdf.")
RUNNING = Kind("still-running", 409, "The first request with this Idempotency-Key is not answered yet", "Send it again in a moment.")
CANNOT_REPLAY = Kind("cannot-replay", 409, "The evaluation cannot be asked again", "See errors for what today's packs no longer read.")
STALE = Kind("stale", 412, "The venue is another one by now", "Read it again, and send your change with its new ETag.")
TOO_LARGE = Kind("body-too-large", 413, "The body is too large", "Send fewer works at once.")
MEDIA_TYPE = Kind("unsupported-media-type", 415, "The body is not marked as JSON", "Send the header Content-Type: application/json.")
INVALID = Kind("invalid-facts", 422, "Some of what was sent cannot be used", "Put right each place under errors; all are listed.")
OTHER_BODY = Kind("other-body", 422, "The Idempotency-Key was used with another body", "Use a new key for a new request.")
QUERY = Kind("invalid-query", 422, "A query parameter cannot be used", "Put right each parameter listed under errors.")
NEEDS_MATCH = Kind("precondition-required", 428, "Say which version you change", "Send If-Match with its ETag, or If-None-Match: *.")
TOO_MANY = Kind("too-many-requests", 429, "There were too many requests in a short time", "Wait the seconds in Retry-After.")
INTERNAL = Kind("internal-error", 500, "Something went wrong on our side", "Try once more, then report the request id in instance.")
PLAN_FAILED = Kind("plan-failed", 500, "The plan could not be made", "Try once more with fewer works, then report the request id.")
NO_PDF = Kind("no-pdf", 501, "This service does not print", "Ask for format=html and print that; or ask whoever runs it for the extra pdf.")
UNAVAILABLE = Kind("unavailable", 503, "The service cannot answer now", "Try again in a little while.")
NO_SPACE = Kind("no-space", 507, "The history is full or cannot be written", "Tell whoever runs it; record=false goes on.")
KINDS = (
    MALFORMED, BAD_REQUEST, BAD_KEY, UNAUTHORIZED, FORBIDDEN, NOT_FOUND, NO_HISTORY, NOT_ALLOWED, NOT_ACCEPTABLE, RUNNING, CANNOT_REPLAY,
    STALE, TOO_LARGE, MEDIA_TYPE, INVALID, OTHER_BODY, QUERY, NEEDS_MATCH, TOO_MANY, INTERNAL, PLAN_FAILED, NO_PDF, UNAVAILABLE, NO_SPACE,
)  # fmt: skip
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

    def __init__(self, kind: Kind, detail: str, errors: Iterable[InputFault] = (), headers: dict[str, str] | None = None) -> None:
        """Hold the kind, the detail, the faults and further headers."""
        self.kind, self.detail, self.errors, self.headers = kind, detail, tuple(errors), headers
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
    return _answer(request, error.kind, error.detail, error.errors, error.headers)


def refusal_of_store(error: HistoryError) -> Refused:
    """Return the problem for what a store could not do. A store's own words may hold an address; they are not told."""
    match error:
        case Busy():
            return Refused(UNAVAILABLE, UNAVAILABLE.advice, headers={"retry-after": str(max(1, error.retry_after))})
        case NoSpace():
            return Refused(NO_SPACE, NO_SPACE.advice)
        case StillRunning():
            return Refused(RUNNING, RUNNING.advice, headers={"retry-after": "1"})
        case OtherBody():
            return Refused(OTHER_BODY, OTHER_BODY.advice)
        case Changed():
            return Refused(STALE, STALE.advice)
    return Refused(UNAVAILABLE, UNAVAILABLE.advice, headers={"retry-after": "5"})


def handle_store(request: AnyRequest, error: HistoryError) -> Response[bytes]:
    """Answer with the problem that a store raised."""
    return handle_refused(request, refusal_of_store(error))


def handle_http(request: AnyRequest, error: HTTPException) -> Response[bytes]:
    """Answer what the framework refuses: unknown paths, wrong methods, bodies that are too large."""
    kind = _BY_STATUS.get(error.status_code)
    if kind is None:
        kind = BAD_REQUEST if 400 <= error.status_code < 500 else INTERNAL
    if kind is INTERNAL and error.detail != _GONE:
        note(error)
    return _answer(request, kind, kind.advice, headers=error.headers)


def handle_any(request: AnyRequest, error: Exception) -> Response[bytes]:
    """Answer what nobody foresaw, without a trace; the log says where it happened, but never a value."""
    note(error)
    return _answer(request, INTERNAL, INTERNAL.advice)


def note(error: Exception) -> None:
    """Log kind and place of an error. Its text is left out: it may hold a work's facts."""
    frames = traceback.extract_tb(error.__traceback__)[-4:]
    places = " < ".join(f"{PurePath(frame.filename).name}:{frame.lineno} {frame.name}" for frame in reversed(frames))
    _LOG.error("%s at %s", type(error).__name__, places or "unknown place")


def _answer(
    request: AnyRequest, kind: Kind, detail: str, errors: tuple[InputFault, ...] = (), headers: dict[str, str] | None = None
) -> Response[bytes]:
    problem = Problem(kind.type, kind.title, kind.status, detail, request.scope.get("state", {}).get("instance", ""), errors)
    return Response(msgspec.json.encode(problem), status_code=kind.status, media_type=PROBLEM_JSON, headers=headers)
