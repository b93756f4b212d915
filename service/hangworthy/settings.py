"""Settings: read once from the environment, frozen, handed to whoever needs them."""

import ipaddress
import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Literal

import msgspec

from hangworthy.origins import origin

NO_DATABASE = "none"
MOST_PORT = 65_535
MOST_PROCESSES = 64


class SettingsError(ValueError):
    """Raised when settings cannot be read; the message has a line for each, which names it and says what would be right."""


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that can be set from outside. Names in the environment are these, upper-case, with ``HANGWORTHY_`` before.

    ``venues``: TOML files, joined by the system's path separator. ``default_venue``: the venue of a request that names none (the first
    file's, else the built-in one with every pack and default). ``packs``: entry points to load, joined by commas. ``on_fault``: ``refuse``
    to start with a pack at fault, or ``report`` it and leave every outcome unsettled. ``cors_origins``: joined by commas; none by default.
    ``database``: the URL of the history's database, or ``none`` to keep no history. ``lease_seconds``: how long a request with an
    Idempotency-Key may run; when a process died over one, the key is free again after it. ``batch_processes``: how many processes evaluate
    the lines of long batches beside the service, by default one for each processor. ``trusted_proxies``: addresses or networks of
    proxies whose X-Forwarded-For says who the client is, joined by commas; with none, the connection says it. ``server`` and ``key`` are
    for ``check``: the address of a service to ask, and the key to it.
    """

    venues: tuple[Path, ...] = ()
    default_venue: str | None = None
    packs: tuple[str, ...] | None = None
    on_fault: Literal["refuse", "report"] = "refuse"
    load_seconds: float = 10.0
    cors_origins: tuple[str, ...] = ()
    max_body_bytes: int = 2_000_000
    host: str = "127.0.0.1"
    port: int = 8470
    database: str = "sqlite:///hangworthy.sqlite3"
    lease_seconds: float = 60.0
    batch_processes: int | None = None
    trusted_proxies: tuple[str, ...] = ()
    server: str = ""
    key: str = ""
    log_level: Literal["debug", "info", "warning", "error"] = "info"

    @property
    def processes(self) -> int:
        """How many processes help with batches: as many as are set, else one for each processor; with one processor alone, none."""
        if self.batch_processes is not None:
            return self.batch_processes
        count = processors()
        return min(count, MOST_PROCESSES) if count > 1 else 0


_PREFIX = "HANGWORTHY_"
LONGEST_SECONDS = 86_400
# What each setting that is more than a text must be, with the test of what msgspec alone would let through.
_MUST: dict[str, tuple[str, Callable[[Any], bool]]] = {
    "on_fault": ("refuse or report", lambda _: True),
    "load_seconds": (f"a number of seconds above 0, up to {LONGEST_SECONDS}, such as 10", lambda seconds: 0 < seconds <= LONGEST_SECONDS),
    "max_body_bytes": ("a whole number of bytes from 1 to 1000000000, such as 2000000", lambda most: 1 <= most <= 10**9),
    "host": ("an address of this computer, such as 127.0.0.1", bool),
    "port": ("a whole number from 0 to 65535, such as 8470", lambda port: 0 <= port <= MOST_PORT),
    "database": ("a database's URL, such as sqlite:///hangworthy.sqlite3, or none", bool),
    "lease_seconds": (f"a number of seconds above 0, up to {LONGEST_SECONDS}, such as 60", lambda seconds: 0 < seconds <= LONGEST_SECONDS),
    "batch_processes": (f"a whole number of processes from 0 to {MOST_PROCESSES}, such as 2", lambda count: 0 <= count <= MOST_PROCESSES),
    "log_level": ("debug, info, warning or error", lambda _: True),
}
_LISTS = ("packs", "cors_origins", "trusted_proxies")


def processors(quota: Path = Path("/sys/fs/cgroup/cpu.max")) -> int:
    """Return how many processors this process may use: those it may run on, or fewer where its container has a quota (cgroup v2)."""
    count = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    try:
        time, _, period = quota.read_text(encoding="ascii").partition(" ")
        return max(1, min(count, int(time) // int(period)))
    except (OSError, ValueError, ZeroDivisionError):  # no container, or “max”: no quota
        return count


def settings_from(environment: Mapping[str, str]) -> Settings:
    """Return the settings that an environment states. Raises SettingsError with a line for each variable at fault or misspelt."""
    given = {key.removeprefix(_PREFIX).lower(): text for key, text in environment.items() if key.startswith(_PREFIX)}
    known = Settings.__struct_fields__
    faults = [f"{_PREFIX}{name.upper()} is no setting; there are: {', '.join(known)}" for name in sorted(set(given) - set(known))]
    values: dict[str, Any] = {}
    for name in (name for name in known if name in given):
        try:
            values[name] = _value(name, given[name])
        except ValueError as error:
            faults.append(f"{_PREFIX}{name.upper()} {error}")
    if faults:
        raise SettingsError("\n".join(faults))
    return Settings(**values)


def _value(name: str, text: str) -> Any:
    """Return a setting's value. Raises ValueError with what it must be."""
    if name == "venues":
        return tuple(Path(part) for part in text.split(os.pathsep) if part)
    if name in _LISTS:
        parts = tuple(part.strip() for part in text.split(",") if part.strip())
        for part in parts:
            _check_part(name, part)
        return parts
    must, fits = _MUST.get(name, ("a text", lambda _: True))
    try:
        value = msgspec.convert(text, _TYPES[name], strict=False)
        if fits(value):
            return value
    except msgspec.ValidationError:
        pass
    raise ValueError(f"must be {must}; " + (f"“{text[:80]}” was given" if text else "it is empty"))


_TYPES = {field.name: field.type for field in msgspec.structs.fields(Settings)}


def _check_part(name: str, part: str) -> None:
    if name == "trusted_proxies":
        try:
            ipaddress.ip_network(part, strict=False)
        except ValueError:
            raise ValueError(f"must name addresses or networks, such as 10.0.0.7 or 10.0.0.0/8; “{part[:80]}” is none") from None
    # A browser states an origin in one way only; with anything else in its place no page would ever be answered.
    elif name == "cors_origins" and part != "*" and (meant := origin(part)) != part:
        raise ValueError(f"must state origins as browsers do; write {meant} in the place of “{part[:80]}”")
