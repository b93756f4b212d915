"""Keys for browsers: from which pages each may be used, and how often."""

import hashlib
import ipaddress
import math
import time
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Any

from hangworthy.api.problems import FORBIDDEN, TOO_MANY, Refused
from hangworthy.history.port import ApiKey, Bucket, History, HistoryError, Level

CACHED_SECONDS = 3.0
MOST_WAITING = 10_000
_ELSEWHERE = "This key is for browsers, on pages of its own origins; it was sent from elsewhere. “hangworthy keys list” names them."


def valid(key: ApiKey, now: datetime) -> bool:
    """Return whether a key is neither revoked nor past its end."""
    return key.revoked_at is None and (key.expires_at is None or now < key.expires_at)


def origin_of(scope: Any) -> str | None:
    """Return the origin that a browser states for the page (RFC 6454), or None."""
    given = [value.decode("latin-1") for name, value in scope["headers"] if name == b"origin"]
    return given[0] if len(given) == 1 else None


class Browsers:
    """The keys for browsers of one history."""

    def __init__(self, history: History | None, clock: Callable[[], datetime], ticks: Callable[[], float] = time.monotonic) -> None:
        """Take the history; without one there are no keys."""
        self.history, self.clock, self.ticks = history, clock, ticks
        self._known: Sequence[ApiKey] = ()
        self._asked = float("-inf")
        self._waiting: dict[str, datetime] = {}

    async def welcome(self, origin: str) -> bool:
        """Return whether some valid key may be used from an origin; which one is sent, a browser does not say when it asks first."""
        if self.history is None:
            return False
        if self.ticks() - self._asked >= CACHED_SECONDS:
            self._asked = self.ticks()  # one request asks for all of them
            try:
                self._known = await self.history.keys.for_browsers()
            except HistoryError:
                self._asked = float("-inf")  # what was known goes on to count
        now = self.clock()
        return any(key.browser is not None and origin in key.browser.origins and valid(key, now) for key in self._known)

    async def admit(self, key: ApiKey, scope: Any) -> None:
        """Hold a request with a key for browsers to its origins and rates. Raises Refused: 403 or 429.

        What is to be told of the rates is left in the scope's state, for the answer's headers.
        """
        assert self.history is not None  # noqa: S101 - there is a key
        assert key.browser is not None  # noqa: S101 - only keys for browsers come here
        origin, state = origin_of(scope), scope["state"]
        state["at_home"] = origin in key.browser.origins
        if not state["at_home"]:
            raise Refused(FORBIDDEN, _ELSEWHERE)
        client = scope.get("client")
        visitor = _visitor(key.id, client[0] if client else "")
        buckets = (Bucket(name=visitor, most=key.browser.per_address), Bucket(name=key.id, most=key.browser.per_minute))
        state["rates"] = headers = [(b"ratelimit-policy", _policy(buckets))]
        now = self.clock()
        waiting = (self._waiting.get(visitor, now) - now).total_seconds()
        if waiting <= 0:
            levels = await self.history.keys.take(buckets, now)
            headers.append((b"ratelimit", _remaining(levels)))
            waiting = max(one.wait for one in levels)
            if waiting > 0:
                self._note(visitor, now + timedelta(seconds=waiting))
        if waiting > 0:
            seconds = max(1, math.ceil(waiting))
            raise Refused(TOO_MANY, f"Send it again in {seconds} s.", headers={"retry-after": str(seconds)})

    def _note(self, visitor: str, until: datetime) -> None:
        """Note until when a visitor is refused without asking the store: a flood of requests is then no flood of writes.

        Only the flow of time fills a bucket, so what the store said stays true until that moment.
        """
        if len(self._waiting) >= MOST_WAITING:
            self._waiting.clear()
        self._waiting[visitor] = until


_NAMES = ("address", "key")


def _policy(buckets: Sequence[Bucket]) -> bytes:
    """Return the rates in force (draft-ietf-httpapi-ratelimit-headers, 08 and later; from memory)."""
    return ", ".join(f'"{name}";q={one.most};w=60' for name, one in zip(_NAMES, buckets, strict=True)).encode()


def _remaining(levels: Sequence[Level]) -> bytes:
    return ", ".join(f'"{name}";r={one.left};t={math.ceil(one.full_in)}' for name, one in zip(_NAMES, levels, strict=True)).encode()


def _visitor(key_id: str, address: str) -> str:
    """Return the name of a client's bucket. The address is only kept as a digest; of IPv6 the network counts, which one home shares."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
        if isinstance(found, ipaddress.IPv6Address):
            found = found.ipv4_mapped or ipaddress.ip_network((int(found) >> 64 << 64, 64)).network_address
        address = str(found)
    except ValueError:
        pass  # a socket's path, or none: one bucket for all of these
    return f"{key_id}:{hashlib.sha256(f'{key_id}:{address}'.encode()).hexdigest()[:32]}"
