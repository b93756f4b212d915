"""Running the service from the command line: the address, and a call to paste."""

import gc
import os
import shlex
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec

from hangworthy.settings import MOST_PORT, NO_DATABASE, Settings

SWITCH_SECONDS = 0.00005
DRAIN_SECONDS = 30  # how long requests that were begun may take when the service is asked to stop
_LAST_STREAM = 2  # standard error
_PLAIN_CALL = '{"works": [{"ref": "a-1", "title": "My first work", "width_mm": "63 in", "height_mm": "90 cm"}]}'


class ServeError(OSError):
    """Raised when the address cannot be listened on; the message names it and says what to do."""


def settings_for(settings: Settings, host: str | None, port: int | None, venues: tuple[Path, ...], folder: Path | None = None) -> Settings:
    """Return the settings with what the command line says in their place. Raises ServeError for a port that is none.

    In a ``folder`` that is thrown away afterwards the database is made, unless the settings name one.
    """
    port = settings.port if port is None else port
    if not 0 <= port <= MOST_PORT:
        raise ServeError(f"--port {port}: a port is a number from 0 to {MOST_PORT}, such as 8470.")
    database = settings.database
    if folder is not None and database == Settings().database:
        database = f"sqlite:///{folder / 'demo.sqlite3'}"
    return msgspec.structs.replace(settings, host=host or settings.host, port=port, venues=venues + settings.venues, database=database)


def example_call(address: str, body: str) -> str:
    """Return a complete call to paste into a shell; ``body`` holds no single quotation mark."""
    return f"curl -s '{address}/evaluations?record=false' -H 'Content-Type: application/json' -d '{body}'"


def listen(host: str, port: int) -> socket.socket:
    """Return a bound socket, so that a taken port is told in a sentence and a free one (0) is known. Raises ServeError."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)[0]
        made = socket.socket(family, kind, protocol)
    except OSError as error:
        raise ServeError(f"{host}: {error.strerror or error}; choose an address of this computer with --host.") from None
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(address)
    except OSError as error:
        made.close()
        raise ServeError(f"{host}:{port}: {(error.strerror or str(error)).lower()}; choose another with --port.") from None
    return made


def address_of(made: socket.socket) -> str:
    """Return the address as a browser takes it; one that stands for every address is shown as this computer's own."""
    host, port = made.getsockname()[:2]
    shown = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)  # noqa: S104 - compared with, not listened on
    return f"http://[{shown}]:{port}" if ":" in shown else f"http://{shown}:{port}"


def hold_streams() -> None:
    """Open what was closed of the three standard streams, onto nothing: no socket or file may take the place of one.

    The event loop ends the process when it is to close one of the three, and cannot start another with them.
    """
    while (number := os.open(os.devnull, os.O_RDWR)) <= _LAST_STREAM:
        os.set_inheritable(number, True)
    os.close(number)


def settle() -> None:
    """Leave what was built so far out of every later collection: packs, rules and modules live as long as the process does."""
    gc.collect()
    gc.freeze()


def run(settings: Settings, say: Callable[[str], None], body: str = _PLAIN_CALL, *, demo: bool = False, lent: bool = False) -> int:
    """Serve until stopped; ``say`` gets the address and an example call once it answers. Raises ServeError.

    With ``lent`` the database is one that only this process knows of, so it is told how other commands find it.
    """
    hold_streams()
    import uvicorn

    from hangworthy.cli.logs import log_to

    class Server(uvicorn.Server):
        """Says where it is when it is there, and not before: the call can be pasted at once."""

        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets=sockets)
            if self.started:
                place = settings.database if lent else ""
                keyless = "" if await app.state.service.access.keyed() else _keyless(settings.database, place)
                say(_greeting(address, body, keyless, _lent(place) if lent else "", demo=demo))

        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            app.state.service.drain()
            await super().shutdown(sockets=sockets)

    # The history's writer runs beside the event loop and needs the interpreter often but shortly; it should not wait long each time.
    sys.setswitchinterval(SWITCH_SECONDS)
    app = _application(settings, demo=demo)
    settle()
    log_to(sys.stderr, settings.log_level)
    made = listen(settings.host, settings.port)
    address = address_of(made)
    server = Server(_config(app, settings))
    try:
        server.run(sockets=[made])
    except KeyboardInterrupt:
        return 0  # Ctrl+C is how it is meant to end
    except SystemExit:
        if not getattr(app, "refusal", ""):  # uvicorn ends the process itself; why is told below, in a sentence
            raise
    finally:
        made.close()
    if not server.started and (why := getattr(app, "refusal", "")):
        raise ServeError(why)
    return 0 if server.started else 2


def _application(settings: Settings, *, demo: bool) -> Any:
    from hangworthy.app import bootstrap
    from hangworthy.history.port import HistoryError

    try:
        return bootstrap(settings, demo=demo)
    except HistoryError as error:  # its URL is none
        raise ServeError(str(error)) from None


def _config(app: Any, settings: Settings) -> Any:
    """Return uvicorn's settings. The service writes its own log, with request ids and without facts; uvicorn's would repeat paths."""
    import uvicorn

    return uvicorn.Config(
        app,
        log_config=None,
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=DRAIN_SECONDS,
        # Unless a proxy is trusted, nobody but the connection says where a request comes from.
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=list(settings.trusted_proxies),
    )


def _greeting(address: str, body: str, keyless: str, lent: str, *, demo: bool) -> str:
    form = f"An artist's form that asks it stands at {address}/demo. " if demo else ""
    call = example_call(address, body)
    if not keyless:
        call = call.replace(" -d ", " -H 'Authorization: Bearer YOUR-KEY' -d ", 1)
    return f"hangworthy listens on {address} (stop with Ctrl+C).{keyless} {form}{lent}Try:\n\n{call}\n"


def _keyless(database: str, place: str) -> str:
    if database == NO_DATABASE:
        return " It keeps no history and so no keys; only this computer is answered."
    return f" No key was ever made, so only this computer is answered; “{_setting(place)}hangworthy keys add” makes one."


def _lent(place: str) -> str:
    return f"Its history is gone when it stops; commands find it with {_setting(place)}before them. "


def _setting(place: str) -> str:
    return f"HANGWORTHY_DATABASE={shlex.quote(place)} " if place else ""
