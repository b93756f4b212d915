"""Faults: what can be wrong with a pack or a venue, said so that its author knows what to change."""

import msgspec


class Fault(msgspec.Struct, frozen=True, omit_defaults=True):
    """Something wrong with a pack. ``kind`` is stable; ``message`` names the pack, the rule and the path that are at fault."""

    kind: str
    message: str
    pack: str = ""
    distribution: str = ""
    version: str = ""

    def __str__(self) -> str:
        """Return the fault on one line, its origin first."""
        origin = " ".join(part for part in (self.distribution, self.version) if part)
        return f"[{self.kind}] {origin + ': ' if origin else ''}{self.message}"


class PackFaults(ValueError):
    """Raised when a set of packs cannot be used; carries every fault found, not only the first."""

    def __init__(self, faults: list[Fault]) -> None:
        """Hold the faults and print them one to a line."""
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class VenueError(ValueError):
    """Raised when a venue names an unknown pack or limit, or gives a value in a wrong unit or out of range."""
