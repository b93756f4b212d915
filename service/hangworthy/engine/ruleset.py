"""The ruleset: a catalogue bound to one venue: its packs, the limits in force, its walls."""

import hashlib
from collections.abc import Mapping
from typing import Any

import msgspec

from hangworthy.contract.finding import LimitUsed, PackUsed, VenueUsed
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.contract.limits import Limit
from hangworthy.contract.quantities import QuantityError, read_quantity, show_quantity
from hangworthy.contract.venue import VENUE_LISTS, ExchangeRate, Guard, Override, StockFrame
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.catalogue import Catalogue, Installed
from hangworthy.engine.fault import VenueError
from hangworthy.engine.languages import language_of
from hangworthy.engine.reading import Reader, nearest
from hangworthy.engine.schema import Schema


class Venue(msgspec.Struct, frozen=True, kw_only=True):
    """A venue as the engine needs it. ``conditions`` and the values of ``walls`` are decoded walls of the composed schema.

    ``retention_days`` is how long works' facts are kept where evaluations are recorded; no rule sees it.
    """

    name: str
    version: int = 1
    title: str = ""
    packs: tuple[str, ...] | None = None
    limits: Mapping[str, Override] = {}
    guard: Guard = Guard()
    conditions: Any = None
    walls: Mapping[str, Any] = {}
    frames: tuple[StockFrame, ...] | None = None
    rates: tuple[ExchangeRate, ...] | None = None
    retention_days: int | None = None
    fingerprint: str = ""


class Ruleset:
    """The rules of one venue, ready to be asked. Immutable once built; shared by all requests."""

    def __init__(self, catalogue: Catalogue, venue: Venue, language: str = DEFAULT_LANGUAGE) -> None:
        """Bind the catalogue to the venue, in a language. Raises VenueError with a line for each thing that the venue cannot name so."""
        if faults := unfit(catalogue, venue):
            raise VenueError("\n".join(f"venue {venue.name}: {sentence}" for _, sentence in faults))
        self.catalogue, self.venue = catalogue, venue
        self.language = language_of(catalogue, language)
        self.schema: Schema = catalogue.schema
        self.reader = Reader(catalogue.schema)
        self.guard = venue.guard
        used = _packs_of(catalogue, venue)
        names = {one.pack.name for one in used}
        self.packs = tuple(PackUsed(one.pack.name, one.pack.version, one.fingerprint) for one in used)
        self.venue_used = VenueUsed(venue.name, venue.version, venue.fingerprint)
        values, self.limits = _limits(used, venue)
        self.limit_values = values
        self.sketches = tuple(entry for entry in catalogue.sketches if entry.pack.name in names)
        entries = [entry for entry in catalogue.entries if entry.pack.name in names]
        bound = [BoundRule(entry, values[entry.pack.name], self.limits, self.language) for entry in entries]
        self.singles = group([rule for rule in bound if not rule.rule.over_set])
        self.sets = [rule for rule in bound if rule.rule.over_set]
        fits = [entry for entry in catalogue.fits if entry.pack.name in names]
        self.fits = [BoundRule(entry, values[entry.pack.name], self.limits, self.language) for entry in fits]
        self.places = {name: self._place(wall) for name, wall in venue.walls.items()}
        self.anywhere = self._place(None)
        self.faults = tuple(f"{fault.kind}: {fault.message}" for fault in catalogue.faults)

    def _place(self, wall: Any) -> list[Any]:
        """Return the values of the wall's slots, a wall's own before the venue's conditions, then what the venue lists."""
        blank = [None] * (self.schema.venue_start - self.schema.wall_start)
        own, general = (blank if one is None else list(self.schema.wall_reader(one)) for one in (wall, self.venue.conditions))
        merged = [mine if mine is not None else common for mine, common in zip(own, general, strict=True)]
        return [*merged, *(getattr(self.venue, name) for name in VENUE_LISTS)]


def group(rules: list[BoundRule]) -> list[list[BoundRule]]:
    """Put the ways of measuring one thing together; rules come sorted by code and preference."""
    groups: dict[str, list[BoundRule]] = {}
    for rule in rules:
        groups.setdefault(rule.code, []).append(rule)
    return list(groups.values())


def unfit(catalogue: Catalogue, venue: Venue) -> list[tuple[tuple[str, ...], str]]:
    """Return what a venue names that is not there, and limits that may not be so: the key in the venue and a sentence for each."""
    installed = [one.pack.name for one in catalogue.installed]
    known = ", ".join(installed) or "none"
    faults: list[tuple[tuple[str, ...], str]] = [
        (("packs",), f"pack “{name}” is not installed (installed: {known}).{nearest(name, installed)}")
        for name in venue.packs or ()
        if name not in installed
    ]
    used = _packs_of(catalogue, venue) or list(catalogue.installed)  # with no good pack at all, limits are still held to those there are
    declared = _declared(used)
    for full, override in venue.limits.items():
        if full not in declared:
            faults.append((("limits", full), f"there is no limit “{full}”.{nearest(full, list(declared))}"))
        elif fault := _limit_fault(full, declared[full], override):
            faults.append((("limits", full), fault))
    return faults


def _packs_of(catalogue: Catalogue, venue: Venue) -> list[Installed]:
    return [one for one in catalogue.installed if venue.packs is None or one.pack.name in venue.packs]


def _declared(used: list[Installed]) -> dict[str, Limit]:
    return {f"{one.pack.name}.{name}": spec for one in used for name, spec in one.pack.limits.declared.items()}


def _limit_fault(full: str, spec: Limit, override: Override) -> str:
    try:
        value, u = read_quantity(override.value, spec.unit)
    except QuantityError as error:
        return f"limit {full}: {error}"
    if u:
        return f"limit {full} must be one figure, without a ±"
    if not spec.lo <= value <= spec.hi:
        right = f"between {show_quantity(spec.lo, spec.unit)} and {show_quantity(spec.hi, spec.unit)}"
        return f"limit {full} must be {right}; {show_quantity(value, spec.unit)} was given"
    return ""


def _limits(used: list[Installed], venue: Venue) -> tuple[dict[str, Any], dict[str, LimitUsed]]:
    """Return each pack's limits with the venue's overrides, and every limit as findings show it, by full name."""
    shown = {full: _limit(venue, full, spec) for full, spec in _declared(used).items()}
    values = {
        one.pack.name: one.pack.limits(**{name: shown[f"{one.pack.name}.{name}"].value for name in one.pack.limits.declared})
        for one in used
    }
    return values, shown


def _limit(venue: Venue, full: str, spec: Limit) -> LimitUsed:
    override = venue.limits.get(full)
    if override is None:
        return LimitUsed(full, spec.default, spec.unit, spec.source)
    return LimitUsed(full, read_quantity(override.value, spec.unit).value, spec.unit, spec.source, override.reason)


def fingerprint(content: bytes) -> str:
    """Return a short digest by which two versions of the same thing are told apart."""
    return hashlib.sha256(content).hexdigest()[:16]
