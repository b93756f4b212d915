"""The commands on what is kept: the history and the keys. They work on the database itself, also while the service runs."""

import argparse
import asyncio
import sys
from collections.abc import AsyncIterator, Awaitable, Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, BinaryIO, TypeVar

import msgspec

from hangworthy.cli.commands import BAD, NOT_FIT, OK, CommandError, catalogue_of, complain, write_json
from hangworthy.cli.venue_names import unknown_venues, venues_in_files
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import ApiKey, Busy, ForBrowsers, HistoryError
from hangworthy.history.sql import SqlHistory
from hangworthy.history.sql.opening import file_of, unopened
from hangworthy.history.sql.url import read_url
from hangworthy.history.tokens import new_key
from hangworthy.settings import NO_DATABASE, Settings

T = TypeVar("T")
_ELSEWHERE = "HANGWORTHY_DATABASE says where it is."


def _now() -> datetime:
    return datetime.now(UTC)


def run(settings: Settings, work: Callable[[SqlHistory], Awaitable[T]], *, make: bool = False) -> T:
    """Open the history, do something with it and close it. Only with ``make`` a SQLite file that is not there is made."""
    if settings.database == NO_DATABASE:
        raise CommandError(f"HANGWORTHY_DATABASE is “{NO_DATABASE}”, so there is no history; set it to the database's URL.")
    try:
        kind, url = read_url(settings.database)
        if kind == "sqlite" and not make and not file_of(url).exists():
            raise CommandError(f"There is no history at {file_of(url)} yet. {_ELSEWHERE}")
        return asyncio.run(_within(settings.database, work))
    except Busy:
        raise CommandError(unopened(settings.database)) from None
    except HistoryError as error:
        raise CommandError(str(error)) from None


async def _within(url: str, work: Callable[[SqlHistory], Awaitable[T]]) -> T:
    history = SqlHistory(url, clock=_now, new_id=uuid7_maker(_now))
    await history.start()
    try:
        return await work(history)
    finally:
        await history.stop()


def verify(arguments: argparse.Namespace, settings: Settings) -> int:
    """Say whether every row is as it was written; end with 1 when one is not."""
    found = run(settings, lambda history: history.verify())
    if arguments.format == "json":
        write_json({"verified": not found, "faults": list(found)})
    elif not found:
        _say("The history is complete and as it was written.")
    else:
        complain("\n".join(found))
    return NOT_FIT if found else OK


def replay(arguments: argparse.Namespace, settings: Settings) -> int:
    """Ask everything again, and say what would be answered otherwise; end with 1 when an outcome would be another."""
    from hangworthy.api.book import Book
    from hangworthy.api.reviewing import Otherwise, Review
    from hangworthy.cli.reviews import counted, told

    catalogue = catalogue_of(settings)

    async def ask(history: SqlHistory) -> tuple[Review, list[Otherwise]]:
        book = Book(catalogue, (), "", history)
        await book.refresh()
        review = Review(book)
        return review, [one async for one in review.all(history)]

    review, found = run(settings, ask)
    decided, findings = [one for one in found if one.then], [one for one in found if not one.then]
    if arguments.format == "json":
        left = {"erased": review.erased, "unread": review.unread}
        write_json({"asked": review.asked, **left, "otherwise": decided, "findings": findings})
    else:
        for line in (*(line for one in found for line in told(one)), *counted(review, len(decided), len(findings))):
            _say(line)
    return NOT_FIT if decided else OK


def export(arguments: argparse.Namespace, settings: Settings) -> int:
    """Write everything as lines of JSON."""

    async def write(history: SqlHistory, into: BinaryIO) -> None:
        async for line in history.export():
            into.write(line + b"\n")

    if arguments.output is None:
        sys.stdout.flush()
        run(settings, lambda history: write(history, sys.stdout.buffer))
        sys.stdout.buffer.flush()
    else:
        with Path(arguments.output).open("wb") as file:
            run(settings, lambda history: write(history, file))
    return OK


def load(arguments: argparse.Namespace, settings: Settings) -> int:
    """Take in what was exported."""

    async def lines(file: BinaryIO) -> AsyncIterator[bytes]:
        for line in file:
            yield line

    if arguments.file == "-":
        new = run(settings, lambda history: history.load(lines(sys.stdin.buffer)), make=True)
    else:
        with Path(arguments.file).open("rb") as file:
            new = run(settings, lambda history: history.load(lines(file)), make=True)
    _say(f"{new} taken in; what was here already stayed as it was.")
    return OK


def add_key(arguments: argparse.Namespace, settings: Settings) -> int:
    """Make a key and show it, this once."""
    browser = _for_browsers(arguments)
    id, shown, kept = new_key()
    made = _now()
    one = ApiKey(
        id=id,
        name=arguments.name,
        scopes=("evaluate",) if browser else tuple(dict.fromkeys(arguments.scope)),
        venues=tuple(dict.fromkeys(arguments.venue)) if arguments.venue else None,
        made_at=made,
        expires_at=made + timedelta(days=arguments.days) if arguments.days else None,
        browser=browser,
    )
    names = run(settings, lambda history: _added(history, one, kept), make=True)
    for sentence in unknown_venues(one.venues or (), {*names, *venues_in_files(settings)}):
        complain(sentence)
    if arguments.format == "json":
        write_json({"key": shown, **_listed(one)})
    elif browser:
        _say(f'{shown}\nPut it into the page as data-key="{shown}": it is public, and only good there. Its id is {id}.')
    else:
        _say(f"{shown}\nThis is shown only now: keep it where it is used, as “Authorization: Bearer {shown[:6]}…”. Its id is {id}.")
    return OK


async def _added(history: SqlHistory, one: ApiKey, kept: bytes) -> list[str]:
    """Keep a key; return the names of the venues that the database knows."""
    await history.keys.add(one, kept)
    return [venue.name for venue in await history.venues.current()]


def _for_browsers(arguments: argparse.Namespace) -> ForBrowsers | None:
    """Return what makes the key one for browsers, or None. Raises CommandError for options that do not go together."""
    rates = {name: number for name in ("per_minute", "per_address") if (number := getattr(arguments, name)) is not None}
    if not arguments.browser:
        if arguments.origin or rates:
            raise CommandError("--origin, --per-minute and --per-address are for keys of browsers; say --browser in the place of --scope.")
        return None
    if not arguments.origin or not arguments.venue:
        raise CommandError("a key for browsers is public; say with --origin which pages, and with --venue which venues it is for.")
    return ForBrowsers(origins=tuple(dict.fromkeys(arguments.origin)), **rates)


def list_keys(arguments: argparse.Namespace, settings: Settings) -> int:
    """List all keys, never their secrets."""
    keys = run(settings, lambda history: history.keys.every())
    if arguments.format == "json":
        write_json({"items": [_listed(one) for one in keys]})
        return OK
    for one in keys:
        limits = f"venues {', '.join(one.venues)}" if one.venues is not None else "every venue"
        if one.browser is not None:
            limits += f"; browsers on {', '.join(one.browser.origins)}"
        _say(f"{one.id}  {_state(one, _now()):8}  {one.name}: {', '.join(one.scopes)}; {limits}; last used {_day(one.last_used_on)}")
    if not keys:
        _say("There is no key yet; make one with: hangworthy keys add NAME --scope evaluate")
    return OK


def revoke_key(arguments: argparse.Namespace, settings: Settings) -> int:
    """Revoke a key at once."""
    if run(settings, lambda history: history.keys.revoke(arguments.id, _now())):
        _say(f"Key {arguments.id} is revoked.")
        return OK
    complain(f"There is no key “{arguments.id[:80]}” that could be revoked; see hangworthy keys list.")
    return BAD


def _state(one: ApiKey, now: datetime) -> str:
    if one.revoked_at is not None:
        return "revoked"
    return "expired" if one.expires_at is not None and one.expires_at <= now else "valid"


def _day(moment: datetime | None) -> str:
    return "never" if moment is None else f"{moment:%Y-%m-%d}"


def _listed(one: ApiKey) -> dict[str, Any]:
    return {**msgspec.structs.asdict(one), "state": _state(one, _now())}


def _say(text: str) -> None:
    sys.stdout.write("".join(sign if sign.isprintable() or sign == "\n" else "\N{REPLACEMENT CHARACTER}" for sign in text) + "\n")


ACTIONS = {
    "history": {"verify": verify, "replay": replay, "export": export, "import": load},
    "keys": {"add": add_key, "list": list_keys, "revoke": revoke_key},
}
