"""Bringing a database's schema forward, under a lock, so that replicas that start together do it once."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.script.revision import ResolutionError
from alembic.util import CommandError
from sqlalchemy import Connection, text

from hangworthy.history.port import HistoryError
from hangworthy.history.sql.engine import Database

_LOCK = 0x68616E67  # any number that nobody else uses on the database


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def newest() -> str:
    """Return the schema that this version of the service works with."""
    return str(ScriptDirectory.from_config(_config()).get_current_head())


def schema_of(connection: Connection) -> str | None:
    """Return the schema of a database; None for an empty one."""
    return MigrationContext.configure(connection).get_current_revision()


async def migrate(database: Database, to: str | None = None) -> str:
    """Bring the schema forward, to the newest by default, and return it. Raises HistoryError for one from a later release."""
    wanted = to or newest()
    async with database.read() as connection:
        there = await connection.run_sync(schema_of)
    if there == wanted:
        return wanted  # nothing to write: also a read-only database can be opened
    _known(there)
    async with database.write() as connection:
        if database.kind == "postgresql":
            await connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _LOCK})
        await connection.run_sync(_upgrade, wanted)
    return wanted


def _known(revision: str | None) -> None:
    """Raise when a database was brought further than this version knows."""
    try:
        if revision is not None:
            ScriptDirectory.from_config(_config()).get_revision(revision)
    except (CommandError, ResolutionError):
        raise HistoryError(
            f"The history's schema {revision} is not known to this version of hangworthy, which knows up to {newest()}. "
            "Start a version at least as new as the one that wrote it last."
        ) from None


def _upgrade(connection: Connection, to: str) -> None:
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, to)
