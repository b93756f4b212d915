"""Crossing origins: what browsers may do with the keys that were made for them (CORS, as the Fetch standard has it).

A browser asks first (the preflight) and does not say with which key it will come; so it is let in from every origin that some valid key
names. The answer itself may only be read by a page of an origin that the key which was sent names. Origins of the setting, and all
other addresses, are left to the framework.
"""

from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from hangworthy.api.browsers import Browsers, origin_of

App = Callable[[Any, Any, Any], Awaitable[None]]
_MAY_SEND = b"authorization, content-type, x-request-id"
_MAY_READ = b"ratelimit, ratelimit-policy, retry-after, x-request-id"
_VARY = b"Origin, Access-Control-Request-Method, Access-Control-Request-Headers"
_REMEMBERED_SECONDS = b"600"


class Crossing:
    """Stands before the application and answers browsers."""

    def __init__(self, app: App, browsers: Browsers, public: Mapping[str, str], settled: frozenset[str]) -> None:
        """``public`` maps the addresses that keys for browsers may use to their methods; ``settled`` are the origins of the setting."""
        self.app, self.browsers, self.public, self.settled = app, browsers, public, settled

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer one HTTP request."""
        methods = self.public.get(scope["path"])
        origin = None if methods is None else origin_of(scope)
        if methods is None or origin is None:
            await self.app(scope, receive, send)
            return
        crosses = origin not in self.settled and "*" not in self.settled and await self.browsers.welcome(origin)
        if crosses and scope["method"] == "OPTIONS" and any(name == b"access-control-request-method" for name, _ in scope["headers"]):
            scope["path_template"] = scope["path"]
            await _let_in(origin, methods, send)
            return

        async def send_on(message: Any) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message["headers"], *_added(scope["state"], origin, crosses=crosses)]}
            await send(message)

        await self.app(scope, receive, send_on)


def _added(state: Mapping[str, Any], origin: str, *, crosses: bool) -> list[tuple[bytes, bytes]]:
    """Return the headers beside the answer. Before any key was found to be good, its origin may still read why it was not."""
    rates = list(state.get("rates", ()))
    if not crosses:
        return rates
    if not state.get("at_home", True):
        return [*rates, (b"vary", b"Origin")]
    return [*rates, (b"access-control-allow-origin", origin.encode()), (b"access-control-expose-headers", _MAY_READ), (b"vary", b"Origin")]


async def _let_in(origin: str, methods: str, send: Any) -> None:
    headers = [
        (b"access-control-allow-origin", origin.encode()),
        (b"access-control-allow-methods", methods.encode()),
        (b"access-control-allow-headers", _MAY_SEND),
        (b"access-control-max-age", _REMEMBERED_SECONDS),
        (b"vary", _VARY),
    ]
    await send({"type": "http.response.start", "status": 204, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
