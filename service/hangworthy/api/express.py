"""The express lane: the usual request to evaluate, answered without the framework's machinery around it.

Forms and scripts send one kind of request over and over: plain JSON, in one piece, that is right. For these the way through the router,
the request and the response objects costs more than the evaluation itself. Whatever is unusual in any way (another query than
record=false, another media type, an Idempotency-Key, a browser's Origin, a large or a faulty body, a bad key, a failure) is handed on
untouched, so that everything is still decided in one place: the controller. A test compares both ways, header by header and byte by byte.
"""

import time
from typing import Any

from hangworthy.api.access import EVALUATE
from hangworthy.api.core import LARGE, Service
from hangworthy.api.edge import ID, SAFE, App, Edge
from hangworthy.api.evaluations import PATH, location
from hangworthy.api.problems import Refused
from hangworthy.api.recording import record
from hangworthy.intake import BadInput

_PLAIN = b"application/json"
_TYPE = (b"content-type", _PLAIN)
_STATELESS = b"record=false"
_UNUSUAL = frozenset((b"content-encoding", b"origin", b"expect", b"idempotency-key"))

Answer = tuple[int, bytes, list[tuple[bytes, bytes]], int]


def is_usual(scope: Any) -> bool:
    """Return whether a request is of the usual kind, as far as its head tells."""
    if scope["path"] != PATH or scope["method"] != "POST" or scope.get("root_path"):
        return False
    if scope["query_string"] not in (b"", _STATELESS):
        return False
    plain = False
    for name, value in scope["headers"]:
        if name == b"content-type":
            plain = value == _PLAIN
        elif name in _UNUSUAL:
            return False
    return plain


class Express:
    """Answers usual requests itself, as the edge would, and passes all others on to the edge and the application behind it."""

    def __init__(self, edge: Edge, app: App, service: Service, most_bytes: int) -> None:
        """Stand before an application that answers with the same service; ``most_bytes`` is the largest body that it reads."""
        self.edge, self.app, self.service, self.most = edge, app, service, min(most_bytes, LARGE)

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer one HTTP request."""
        if not is_usual(scope):
            await self.edge(self.app, scope, receive, send)
            return
        started = time.perf_counter()
        try:
            first = await receive()
            answered = await self._answered(scope, first)
        except BaseException:  # the request was cancelled; it is counted all the same
            self.edge.note("POST", PATH, 500, time.perf_counter() - started, self.edge.id_of(scope), None)
            raise
        if answered is None:
            await self.edge(self.app, scope, _again(first, receive), send, started)
            return
        (status, content, more, works), request_id = answered, self.edge.id_of(scope)
        headers = [*more, _TYPE, (b"content-length", b"%d" % len(content)), *SAFE, (ID, request_id.encode())]
        try:
            await send({"type": "http.response.start", "status": status, "headers": headers})
            await send({"type": "http.response.body", "body": content})
        finally:
            self.edge.note("POST", PATH, status, time.perf_counter() - started, request_id, works)

    async def _answered(self, scope: Any, message: Any) -> Answer | None:
        """Return the answer, or None for whatever the application should look at itself."""
        body = message.get("body", b"")
        if message["type"] != "http.request" or message.get("more_body") or not 0 < len(body) <= self.most:
            return None
        try:
            caller = await self.service.access.caller(scope["headers"], EVALUATE)
            if self.service.history is None or scope["query_string"]:
                view = self.service.book.view(caller.venues)
                content, works = await self.service.in_turn(body, lambda: self.service.evaluate(body, view))
                return 200, content, [], works
            kept, works = await record(self.service, body, caller)
        except (BadInput, Refused):
            return None  # the application meets it again, and says what there is to say
        except Exception as error:  # noqa: BLE001 - the application words it
            # It must not try once more: not behind a queue that is full, and not what may have been kept already.
            scope["state"] = {**scope.get("state", {}), "refused": error}
            return None
        return 201, kept.answer, [(b"location", location(kept.id).encode())], works


def _again(first: Any, receive: Any) -> Any:
    """Return a receiver that gives the message that was already taken, and then what follows."""
    waiting = [first]

    async def receive_on() -> Any:
        return waiting.pop() if waiting else await receive()

    return receive_on
