"""Access: who calls, and what they may do. Each handler says beside itself which scopes it needs; one guard holds everybody to it."""

import contextlib
import time
from collections.abc import Callable
from datetime import datetime
from typing import Any

import msgspec

from hangworthy.api.browsers import Browsers, valid
from hangworthy.api.problems import FORBIDDEN, UNAUTHORIZED, Refused
from hangworthy.history.port import SCOPES, ApiKey, History, HistoryError, Scope
from hangworthy.history.tokens import matches, parts

ANYBODY: tuple[Scope, ...] = ()  # needs no key at all
ANY_KEY = SCOPES
EVALUATE: tuple[Scope, ...] = ("evaluate",)
READ: tuple[Scope, ...] = ("read",)
CHANGE_VENUES: tuple[Scope, ...] = ("venues",)
SEE_VERSIONS: tuple[Scope, ...] = ("read", "venues")
FOLLOW_PLANS: tuple[Scope, ...] = ("evaluate", "read")
ADMIN: tuple[Scope, ...] = ("admin",)
LONGEST_TOKEN = 200
CACHED_SECONDS = 3.0
MOST_CACHED = 1_000
_NO_SECRET = bytes(32)
_FOR_BROWSERS = "This key is for browsers: it may only evaluate, with record=false, from the pages that it was made for."
_REFUSAL = "Send the header Authorization: Bearer, with a key that is valid here and now."


class Caller(msgspec.Struct, frozen=True):
    """Who calls: the id of the key ("" where no key is asked for), its scopes, and the venues it is restricted to (None: all).

    ``public``: the key is one for browsers, which everybody can read in a page; nothing is recorded for it.
    """

    id: str = ""
    scopes: tuple[Scope, ...] = SCOPES
    venues: tuple[str, ...] | None = None
    public: bool = False

    def may(self, needs: tuple[Scope, ...]) -> bool:
        """Return whether one of these scopes is among the caller's; admin stands for all."""
        return "admin" in self.scopes or any(one in self.scopes for one in needs)

    def sees(self, venue: str) -> bool:
        """Return whether a venue is among those the caller may know of."""
        return self.venues is None or venue in self.venues


EVERYBODY = Caller()


class Access:
    """Finds the caller of a request. Keys that were found are remembered for a few seconds; ones that were not are asked for again."""

    def __init__(self, history: History | None, clock: Callable[[], datetime], ticks: Callable[[], float] = time.monotonic) -> None:
        """Take the history whose keys count; without one, nobody needs a key."""
        self.history, self.clock, self.ticks = history, clock, ticks
        self.browsers = Browsers(history, clock, ticks)
        self._found: dict[str, tuple[float, ApiKey, bytes]] = {}
        self._used: dict[str, str] = {}
        self._keyed, self._asked = False, float("-inf")

    async def keyed(self) -> bool:
        """Return whether a key is needed: once one was made, for ever, since keys are revoked but never forgotten."""
        if self.history is None or self._keyed:
            return self._keyed
        before, now = self._asked, self.ticks()
        if now - before >= CACHED_SECONDS:
            if before > float("-inf"):
                self._asked = now  # one request asks again for all of them; until it knows, the others keep to what was known
            try:
                self._keyed = self._keyed or await self.history.keys.any()
            except HistoryError:
                if before == float("-inf"):
                    raise
                # Until it can be asked again what was known counts: without a key only this computer asks, and nothing can be kept.
            except BaseException:
                self._asked = before
                raise
            self._asked = self.ticks()
        return self._keyed

    async def caller(self, headers: Any, needs: tuple[Scope, ...]) -> Caller:
        """Return who calls, with a key that is no public one. Raises Refused: 401 without a good key, 403 with one that may not do this."""
        if not await self.keyed():
            return EVERYBODY
        return await self._admitted(await self._key(headers), needs)

    async def caller_in(self, scope: Any, needs: tuple[Scope, ...]) -> Caller:
        """Return who calls where keys for browsers are welcome. Raises Refused: 429 as well, for one that asks too often."""
        if not await self.keyed():
            return EVERYBODY
        key = await self._key(scope["headers"])
        if key.browser is None:
            scope["state"]["at_home"] = False
        else:
            await self.browsers.admit(key, scope)
        return await self._admitted(key, needs, public=key.browser is not None)

    async def _key(self, headers: Any) -> ApiKey:
        pair = _token(headers)
        found = await self._find(pair[0]) if pair else None
        kept = found[1] if found else _NO_SECRET
        # An unknown id is compared as well, so that it takes as long as a known one.
        right = matches(pair[1] if pair else "", kept)
        if found is None or not right or not valid(found[0], self.clock()):
            raise Refused(UNAUTHORIZED, _REFUSAL, headers={"www-authenticate": "Bearer"})
        return found[0]

    async def _admitted(self, key: ApiKey, needs: tuple[Scope, ...], *, public: bool = False) -> Caller:
        if key.browser is not None and not public:
            raise Refused(FORBIDDEN, _FOR_BROWSERS)
        caller = Caller(key.id, key.scopes, key.venues, public)
        if not caller.may(needs):
            raise Refused(FORBIDDEN, f"This key may not do that; it needs the scope {' or '.join(needs)}.")
        await self._note(key.id)
        return caller

    async def _find(self, id_: str) -> tuple[ApiKey, bytes] | None:
        kept = self._found.get(id_)
        if kept is not None and self.ticks() - kept[0] < CACHED_SECONDS:
            return kept[1], kept[2]
        assert self.history is not None  # noqa: S101 - only asked for when keys count
        found = await self.history.keys.find(id_)
        if found is None:
            self._found.pop(id_, None)
            return None
        if len(self._found) >= MOST_CACHED:
            self._found.clear()
        self._found[id_] = (self.ticks(), *found)
        return found

    async def _note(self, id_: str) -> None:
        """Note that a key was used, once a day: more is not kept, and every request would be a write."""
        assert self.history is not None  # noqa: S101 - only asked for when keys count
        now = self.clock()
        day = now.date().isoformat()
        if self._used.get(id_) != day:
            if len(self._used) >= MOST_CACHED:
                self._used.clear()
            self._used[id_] = day
            with contextlib.suppress(HistoryError):  # a full or read-only store is no reason to turn a good key away
                await self.history.keys.used(id_, now)


def _token(headers: Any) -> tuple[str, str] | None:
    given = [value for name, value in headers if name == b"authorization"]
    if len(given) != 1:
        return None
    kind, _, token = given[0].decode("latin-1").partition(" ")
    token = token.strip()
    return parts(token) if kind.lower() == "bearer" and len(token) <= LONGEST_TOKEN and token.isascii() else None


async def guard(connection: Any, handler: Any) -> None:
    """Hold a request to what its handler needs. A handler that says nothing lets nobody in."""
    if connection.scope["method"] == "OPTIONS":
        return
    needs = handler.opt["needs"]
    if needs == ANYBODY:
        connection.scope["state"]["caller"] = EVERYBODY
        return
    access: Access = connection.app.state.service.access
    scope = connection.scope
    public = handler.opt.get("public", False)
    scope["state"]["caller"] = await (access.caller_in(scope, needs) if public else access.caller(scope["headers"], needs))
