"""Settings: read once from the environment, frozen, handed to whoever needs them."""

import ipaddress
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Literal

import msgspec

NO_DATABASE = "none"


class SettingsError(ValueError):
    """Raised when a setting cannot be read; the message names it and says what would be right."""


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that can be set from outside. Names in the environment are these, upper-case, with ``HANGWORTHY_`` before.

    ``venues``: TOML files, joined by the system's path separator. ``default_venue``: the venue of a request that names none (the first
    file's, else the built-in one with every pack and default). ``packs``: entry points to load, joined by commas. ``on_fault``: ``refuse``
    to start with a pack at fault, or ``report`` it and leave every outcome unsettled. ``cors_origins``: joined by commas; none by default.
    ``database``: the URL of the history's database, or ``none`` to keep no history. ``lease_seconds``: how long a request with an
    Idempotency-Key may run; when a process died over one, the key is free again after it. ``trusted_proxies``: addresses or networks of
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
    trusted_proxies: tuple[str, ...] = ()
    server: str = ""
    key: str = ""
    log_level: Literal["debug", "info", "warning", "error"] = "info"


_PREFIX = "HANGWORTHY_"


def settings_from(environment: Mapping[str, str]) -> Settings:
    """Return the settings that an environment states. Raises SettingsError naming the variable at fault or misspelt."""
    given = {key.removeprefix(_PREFIX).lower(): text for key, text in environment.items() if key.startswith(_PREFIX)}
    known = Settings.__struct_fields__
    if stray := sorted(set(given) - set(known)):
        raise SettingsError(f"{_PREFIX}{stray[0].upper()} is no setting; there are: {', '.join(known)}")
    values: dict[str, object] = dict(given)
    if "venues" in given:
        values["venues"] = [part for part in given["venues"].split(os.pathsep) if part]
    for name in ("packs", "cors_origins", "trusted_proxies"):
        if name in given:
            values[name] = [part.strip() for part in given[name].split(",") if part.strip()]
    for one in values.get("trusted_proxies", ()):  # type: ignore[attr-defined] # made a list above
        _check_network(one)
    try:
        return msgspec.convert(values, Settings, strict=False, dec_hook=_decode)
    except msgspec.ValidationError as error:
        text, _, where = str(error).partition(" - at `$.")
        raise SettingsError(f"{_PREFIX}{where.rstrip('`').upper()}: {text}") from None


def _check_network(text: str) -> None:
    try:
        ipaddress.ip_network(text, strict=False)
    except ValueError:
        raise SettingsError(f"{_PREFIX}TRUSTED_PROXIES: “{text}” is no address or network, such as 10.0.0.7 or 10.0.0.0/8") from None


def _decode(kind: type, value: object) -> object:
    if kind is Path:
        return Path(str(value))
    raise SettingsError(f"a setting cannot be of the type {kind}")
