"""Why a database could not be opened, for whoever set it: the file or the host, and what would be right. A password is never told."""

import os
from pathlib import Path

from sqlalchemy import URL

from hangworthy.history.port import HistoryError
from hangworthy.history.sql.url import read_url

_POSTGRESQL_PORT = 5432


def file_of(url: URL) -> Path:
    """Return the file of a SQLite database; with further parameters it is written as a URI."""
    return Path(str(url.database).removeprefix("file:"))


def unopened(text: str) -> str:
    """Return a sentence about the database at a URL that did not let itself be opened."""
    kind, url = read_url(text)
    return f"HANGWORTHY_DATABASE: {_file(file_of(url)) if kind == 'sqlite' else _server(url)}"


def unknown_words(text: str) -> str:
    """Return a sentence about a URL whose parameters the driver does not take."""
    names = ", ".join(sorted(read_url(text)[1].query))
    return f"HANGWORTHY_DATABASE: the driver does not take what stands after the “?” ({names}); leave it out, or correct it."


def nowhere(text: str) -> str:
    """Return a sentence about a SQLite database that cannot be opened where it is meant to lie, or nothing."""
    kind, url = read_url(text)
    lost = kind == "sqlite" and (file_of(url).is_dir() or not file_of(url).parent.is_dir())
    return unopened(text) if lost else ""


def wrong(text: str, why: HistoryError) -> HistoryError:
    """Return what is wrong with what is there, with the file that it was found in."""
    kind, url = read_url(text)
    return HistoryError(f"{file_of(url)}: {why}") if kind == "sqlite" else why


def _file(file: Path) -> str:
    folder = file.parent.absolute()
    if file.is_dir():
        return f"{file} is a folder; name a file in it, such as {file / 'hangworthy.sqlite3'}."
    if not folder.is_dir() or not os.access(folder, os.W_OK | os.X_OK):
        return f"{folder} is no folder that can be written; make it so, or name a file in another one."
    return f"{file} cannot be opened; look whether its owner is you, and whether another program holds it."


def _server(url: URL) -> str:
    host = url.host or url.query.get("host") or "this computer"
    place = ", ".join(host) if isinstance(host, tuple) else host
    return f"no PostgreSQL answers at {place}, port {url.port or _POSTGRESQL_PORT}; is it running, and are host and port right?"
