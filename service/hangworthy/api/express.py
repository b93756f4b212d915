"""The express lane: the usual request to evaluate, answered without the framework's machinery around it.

Forms and scripts send one kind of request over and over: plain JSON, in one piece, that is right. For these the way through the router,
the request and the response objects costs more than the evaluation itself. Whatever is unusual in any way (a query, another media type, a
browser's Origin, a large or a faulty body, a failure) is handed on untouched, so that everything is still decided in one place: the
controller. A test compares both ways, header by header and byte by byte.
"""

from collections.abc import Awaitable, Callable
from typing import Any

from hangworthy.api.core import LARGE, Service

App = Callable[[Any, Any, Any], Awaitable[None]]
PATH = "/evaluations"
_PLAIN = b"application/json"
_UNUSUAL = frozenset((b"content-encoding", b"origin", b"expect"))


def is_usual(scope: Any) -> bool:
    """Return whether a request is of the usual kind, as far as its head tells."""
    if scope["path"] != PATH or scope["method"] != "POST" or scope["query_string"] or scope.get("root_path"):
        return False
    plain = False
    for name, value in scope["headers"]:
        if name == b"content-type":
            plain = value == _PLAIN
        elif name in _UNUSUAL:
            return False
    return plain


class Express:
    """Answers usual requests itself and passes all others on to the application."""

    def __init__(self, app: App, service: Service, most_bytes: int) -> None:
        """Stand before an application that answers with the same service; ``most_bytes`` is the largest body that it reads."""
        self.app, self.service, self.most = app, service, min(most_bytes, LARGE)

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer one HTTP request."""
        if not is_usual(scope):
            await self.app(scope, receive, send)
            return
        first = await receive()
        answered = self._answered(first)
        if answered is None:
            await self.app(scope, _again(first, receive), send)
            return
        content, scope["state"]["works"] = answered
        scope["path_template"] = PATH
        headers = [(b"content-type", _PLAIN), (b"content-length", b"%d" % len(content))]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": content})

    def _answered(self, message: Any) -> tuple[bytes, int] | None:
        """Return the answer and how many works it holds, or None for whatever the application should look at itself."""
        body = message.get("body", b"")
        if message["type"] != "http.request" or message.get("more_body") or not 0 < len(body) <= self.most:
            return None
        try:
            return self.service.evaluate(body)
        except Exception:  # noqa: BLE001 - bad input or a failure: the application meets it again, and says what there is to say
            return None


def _again(first: Any, receive: Any) -> Any:
    """Return a receiver that gives the message that was already taken, and then what follows."""
    waiting = [first]

    async def receive_on() -> Any:
        return waiting.pop() if waiting else await receive()

    return receive_on
