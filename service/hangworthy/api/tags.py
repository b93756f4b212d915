"""Entity tags: every answer to GET has one, made of its bytes, and who has those bytes already is told so in few (304).

One place for all routes, so that no new one is forgotten. A handler whose answer is another one at every look says ``volatile=True``
beside its path; its answer is marked as never to be kept. One whose answer costs much to make (a printed sheet) may look at the tag
itself and answer 304; it is then marked like any other. All others may be kept but must be asked for again each time: an erasure, a
changed venue or a revoked key has to be seen at once. What needs a key is for the one caller alone.
"""

from collections.abc import Awaitable, Callable
from typing import Any

from hangworthy.api.access import ANYBODY
from hangworthy.api.requests import etag_of, names_tag

App = Callable[[Any, Any, Any], Awaitable[None]]
_OF_THE_BODY = (b"content-length", b"content-type")
KEEP_NOT, ASK_AGAIN, ASK_AGAIN_ALONE = b"no-store", b"no-cache", b"private, no-cache"


class Tags:
    """Stands before an application and tags its answers to GET."""

    def __init__(self, app: App) -> None:
        """Stand before an application."""
        self.app = app

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Pass one HTTP request on."""
        if scope["method"] != "GET":
            await self.app(scope, receive, send)
            return
        held: list[Any] = []

        async def send_on(message: Any) -> None:
            if message["type"] == "http.response.start":
                held.append(message)
                return
            if held:
                start = held.pop()
                whole = message["type"] == "http.response.body" and not message.get("more_body")
                start, message = _tagged(scope, start, message, whole=whole)
                await send(start)
            await send(message)

        await self.app(scope, receive, send_on)


def _tagged(scope: Any, start: Any, body: Any, *, whole: bool) -> tuple[Any, Any]:
    """Return the two messages of an answer with its tag, or those that say that nothing is new."""
    headers = list(start["headers"])
    names = {name.lower() for name, _ in headers}
    options = getattr(scope.get("route_handler"), "opt", {})
    if start["status"] not in (200, 304) or options.get("volatile") or not whole:
        return {**start, "headers": headers if b"cache-control" in names else [*headers, (b"cache-control", KEEP_NOT)]}, body
    etag = next((value for name, value in headers if name.lower() == b"etag"), b"") or etag_of(body.get("body", b"")).encode()
    if b"etag" not in names:
        headers.append((b"etag", etag))
    if b"cache-control" not in names:
        headers.append((b"cache-control", ASK_AGAIN if options.get("needs") == ANYBODY else ASK_AGAIN_ALONE))
    if options.get("needs") != ANYBODY:
        headers.append((b"vary", b"Authorization"))
    # Several lines of one header are one list (RFC 9110, 5.3); tags are compared weakly (13.1.2).
    known = ", ".join(value.decode("latin-1") for name, value in scope["headers"] if name == b"if-none-match")
    if known and names_tag(known, etag.decode("latin-1"), weak=True):
        headers = [(name, value) for name, value in headers if name.lower() not in _OF_THE_BODY]
        return {**start, "status": 304, "headers": headers}, {**body, "body": b""}
    return {**start, "headers": headers}, body
