"""Limits: named thresholds with a unit, a sane range and a source; a venue may override each."""

from typing import Any, ClassVar

import msgspec

from hangworthy.contract.means import Means
from hangworthy.contract.source import Source


class Limit(msgspec.Struct, frozen=True):
    """One threshold: its default, unit, source, what it means, and the range that an override must keep.

    ``means`` says what it is to the host's own plans.
    """

    default: float
    unit: str
    source: Source
    doc: str
    lo: float
    hi: float
    means: Means | None = None


def limit(default: float, unit: str, source: Source, doc: str, *, lo: float, hi: float, means: Means | None = None) -> Any:
    """Declare a limit in a :class:`Limits` class. Units are spelt as quantities spell them ("" for a plain number)."""
    return Limit(default=float(default), unit=unit, source=source, doc=doc, lo=float(lo), hi=float(hi), means=means)


class Limits:
    """Base of a pack's limits. Attributes of an instance are plain floats: the values in force at one venue."""

    declared: ClassVar[dict[str, Limit]] = {}

    def __init_subclass__(cls) -> None:
        """Collect the declared limits."""
        cls.declared = {**cls.declared, **{n: v for n, v in vars(cls).items() if isinstance(v, Limit)}}

    def __init__(self, **overrides: float) -> None:
        """Hold the defaults, replaced by ``overrides``. Raises KeyError for a name that is no limit."""
        for name in overrides:
            self.declared[name]
        for name, declared in self.declared.items():
            setattr(self, name, overrides.get(name, declared.default))


class NoLimits(Limits):
    """For packs whose rules compare nothing with a threshold."""
