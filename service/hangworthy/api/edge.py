"""The edge: what every request meets first and every answer last: its id, HEAD, safe headers, one line in the log."""

import logging
import re
import time
from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Any
from urllib.parse import unquote

import msgspec

from hangworthy.api.metrics import Metrics
from hangworthy.evaluating import stamp

ACCESS = logging.getLogger("hangworthy.access")
_GOOD_ID = re.compile(r"[A-Za-z0-9._-]{1,64}\Z")
_UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}\Z")
SAFE = ((b"x-content-type-options", b"nosniff"), (b"referrer-policy", b"no-referrer"))
ID = b"x-request-id"

SLASH = "\0"  # stands in a path for a slash that was sent as %2F: a name may hold one, and no name holds this

_NO_CHARACTER = "\ufffe"

App = Callable[[Any, Any, Any], Awaitable[None]]


class Edge:
    """Wraps the whole application, so that even an unknown path has an id, safe headers and a line in the log."""

    def __init__(self, clock: Callable[[], datetime], new_id: Callable[[], str], metrics: Metrics) -> None:
        """Take the clock of the log, the maker of request ids, and the figures to keep."""
        self.clock, self.new_id, self.metrics = clock, new_id, metrics

    async def __call__(self, app: App, scope: Any, receive: Any, send: Any, started: float | None = None) -> None:
        """Pass one HTTP request on; ``started`` says since when somebody has worked on it."""
        request_id, head = self.id_of(scope), scope["method"] == "HEAD"
        # every GET answers HEAD as well; the server leaves the body out, and so do we
        inner = {**scope, "method": "GET"} if head else dict(scope)
        state = inner["state"] = {**scope.get("state", {}), "instance": _instance(request_id)}
        if b"%2" in (raw := scope.get("raw_path") or b"") or b"%00" in raw:
            inner["path"] = _with_slashes(raw)
        started, status = time.perf_counter() if started is None else started, 500

        async def send_on(message: Any) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                message = {**message, "headers": _headers(message["headers"], request_id)}
            elif head and message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        try:
            await app(inner, receive, send_on)
        finally:
            took = time.perf_counter() - started
            self.note(scope["method"], inner.get("path_template"), status, took, request_id, state.get("works"))

    def note(self, method: str, route: str | None, status: int, seconds: float, request_id: str, works: int | None) -> None:
        """Count a request that was answered, and log it."""
        self.metrics.answered(method, route, status, seconds)
        if ACCESS.isEnabledFor(logging.INFO):
            ACCESS.info("%s", self._line(method, route, status, seconds * 1000, request_id, works))

    def id_of(self, scope: Any) -> str:
        """Return a request's id: the one that it brings, if that is a good one, or else a new one."""
        for name, value in scope["headers"]:
            if name == ID and _GOOD_ID.match(text := value.decode("latin-1")):
                return str(text)
        return self.new_id()

    def _line(self, method: str, path: str | None, status: int, took: float, request_id: str, works: int | None) -> str:
        """Return one line of JSON. The path is its template, never what was asked for: an address may hold a name."""
        line: dict[str, Any] = {
            "time": stamp(self.clock()),
            "level": "error" if status >= 500 else "info",
            "method": method if method in _METHODS else "other",
            "path": path or "(unknown)",
            "status": status,
            "milliseconds": round(took, 2),
            "request_id": request_id,
        }
        if works is not None:
            line["works"] = works
        return msgspec.json.encode(line).decode()


_METHODS = frozenset(("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"))


def _with_slashes(raw: bytes) -> str:
    """Return a path in which a slash inside a name is still told from one between names."""
    steps = raw.decode("latin-1").partition("?")[0].split("/")
    return "/".join(unquote(step).replace(SLASH, _NO_CHARACTER).replace("/", SLASH) for step in steps)


def _instance(request_id: str) -> str:
    return f"urn:uuid:{request_id.lower()}" if _UUID.match(request_id) else f"urn:request:{request_id}"


def _headers(headers: Any, request_id: str) -> list[tuple[bytes, bytes]]:
    kept = [(name, _allow(value) if name.lower() == b"allow" else value) for name, value in headers]
    return [*kept, *SAFE, (ID, request_id.encode())]


def _allow(value: bytes) -> bytes:
    """Return the methods of an Allow header, sorted, with HEAD beside GET."""
    methods = {method.strip() for method in value.decode("latin-1").split(",")}
    if "GET" in methods:
        methods.add("HEAD")
    return ", ".join(sorted(methods)).encode()
