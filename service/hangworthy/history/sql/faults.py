"""What a database's own errors mean for the caller: try later, no room, or a fault that a person must look at."""

import sqlite3

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnection

from hangworthy.history.port import Busy, HistoryError, NoSpace

_SQLITE_FULL = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY)
_SQLITE_LATER = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PROTOCOL)
# https://www.postgresql.org/docs/current/errcodes-appendix.html
_PG_FULL = ("53100", "25006")  # disk full; read-only transaction
_PG_LATER = ("08", "40", "53", "55", "57", "58")  # connection, conflict, resources, not in that state, operator, system
_PG_SETUP = {
    "28": "The database refuses the name or password in HANGWORTHY_DATABASE.",
    "3D": "The database that HANGWORTHY_DATABASE names does not exist; create it, or correct the name.",
    "42501": "The database's user may not do that; it needs the right to create tables in its schema.",
}
UNREACHABLE = "The history cannot be reached at the moment; nothing was kept. Please send the same request again shortly."
FULL = "The history has no room left or is read-only, so nothing was kept. Evaluations with record=false still work."


def meaning(error: BaseException) -> HistoryError | None:
    """Return what an error means, or None when it is about the data and not about the store."""
    if isinstance(error, HistoryError):
        return error
    cause = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(cause, sqlite3.Error):
        return _of_sqlite(cause)
    if code := getattr(cause, "sqlstate", None):
        found = _of_postgresql(str(code))
        if found is not None:
            return found
    lost = isinstance(error, DBAPIError) and error.connection_invalidated
    if lost or isinstance(cause, (OSError, NoConnection)) or _closed(cause):
        return Busy(UNREACHABLE)
    return None


def _closed(cause: BaseException | None) -> bool:
    """Return whether a driver says, without a code, that its connection has gone."""
    return cause is not None and type(cause).__name__ in ("InterfaceError", "InternalClientError", "ConnectionDoesNotExistError")


def _of_sqlite(error: sqlite3.Error) -> HistoryError | None:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the primary code, without what further distinguishes it
    if code in _SQLITE_FULL:
        return NoSpace(FULL)
    if code in _SQLITE_LATER or (isinstance(error, sqlite3.ProgrammingError) and "closed" in str(error)):
        return Busy(UNREACHABLE)
    if code in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT):
        return HistoryError("The history's file is damaged or no SQLite database. Restore it from a copy, or name another file.")
    return None


def _of_postgresql(code: str) -> HistoryError | None:
    if code in _PG_FULL:
        return NoSpace(FULL)
    for start, sentence in _PG_SETUP.items():
        if code.startswith(start):
            return HistoryError(sentence)
    return Busy(UNREACHABLE) if code.startswith(_PG_LATER) else None


def about_data(error: Exception) -> HistoryError:
    """Return the error for an entry that the database refuses; the driver's text is left out, since it may hold facts."""
    kind = type(error.orig if isinstance(error, DBAPIError) and error.orig else error).__name__
    return HistoryError(f"The history cannot keep this: the database refuses the row ({kind}).")
