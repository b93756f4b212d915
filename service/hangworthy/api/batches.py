"""The controller of batches: lines of works in, lines of answers out."""

from typing import Any

from litestar import Response, post

from hangworthy.api.access import EVALUATE
from hangworthy.api.batching import Batch
from hangworthy.api.bounds import LONGEST_BATCH_KEY
from hangworthy.api.evaluations import PATH, idempotency_key, records, wish_to_record
from hangworthy.api.lines import Wish
from hangworthy.api.problems import BAD_KEY, MEDIA_TYPE, Refused
from hangworthy.api.queries import choice, query
from hangworthy.api.requests import AnyRequest, caller_of, service_of
from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import LANGUAGES
from hangworthy.intake.faults import quote
from hangworthy.intake.reader import no_venue

LINES = ("application/jsonl", "application/x-ndjson", "application/x-jsonlines", "application/jsonlines")
DETAILS = ["full", "brief"]


class _Streamed(Response[bytes]):
    """Hands the connection on to a batch."""

    def __init__(self, batch: Batch) -> None:
        super().__init__(b"")
        self._batch = batch

    def to_asgi_response(self, *_: Any, **__: Any) -> Any:
        """Return what answers the request."""
        return self._batch


@post(PATH + "/batch", needs=EVALUATE, status_code=200, request_max_body_size=None)
async def evaluate_batch(request: AnyRequest) -> Response[bytes]:
    """Evaluate lines of works, and answer each by a line while the next ones still come."""
    service, caller = service_of(request), caller_of(request)
    known = list(service.book.view(caller.venues).evaluators)

    def venue(_: str, name: str) -> str:
        if name not in known:
            raise ValueError(no_venue(name, known))
        return name

    given = query(
        request, record=wish_to_record(request), stage=choice(*Stage), venue=venue, lang=choice(*LANGUAGES), detail=choice(*DETAILS)
    )
    wish = Wish(
        stage=given["stage"],
        venue=given["venue"],
        language=given["lang"],
        records=records(request, given["record"]),
        brief=given["detail"] == "brief",
        key=_key(request),
        media_type=_media_type(request),
    )
    longest: Any = request.app.request_max_body_size  # a line is bounded as a body of a single call is
    return _Streamed(Batch(service, caller, wish, longest))


def _key(request: AnyRequest) -> str | None:
    key = idempotency_key(request)
    if key is not None and len(key) > LONGEST_BATCH_KEY:
        raise Refused(BAD_KEY, f"For a batch an Idempotency-Key has at most {LONGEST_BATCH_KEY} characters; the lines' numbers follow it.")
    return key


def _media_type(request: AnyRequest) -> str:
    """Return the media type of the lines, which is that of the answers too. Raises Refused for any other."""
    kind, _, rest = request.headers.get("content-type", "").partition(";")
    kind = kind.strip().lower()
    if kind not in LINES:
        given = f"{quote(kind)} was sent" if kind else "there was no Content-Type"
        raise Refused(MEDIA_TYPE, f"Send JSON Lines with the header Content-Type: {LINES[0]}; {given}.")
    name, _, value = rest.partition("=")
    if name.strip().lower() == "charset" and value.strip().strip('"').lower() not in ("utf-8", "utf8"):
        raise Refused(MEDIA_TYPE, f"JSON Lines are always UTF-8; send {kind} without another charset.")
    if request.headers.get("content-encoding", "identity").lower() != "identity":
        raise Refused(MEDIA_TYPE, "Send the lines as they are, without a Content-Encoding.")
    return kind
