"""The service behind the controllers: everything that was handed to it, and the answers that never change, encoded once."""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

import msgspec

from hangworthy.api import describe
from hangworthy.api.answers import Ready, ReadyPack, RuleAnswer
from hangworthy.api.openapi import document, dump
from hangworthy.api.page import page
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.intake import Intake, from_bad_works

LARGE = 32_000  # bytes; a longer body is worked on beside the event loop, so that others need not wait for it


class Service:
    """All that the controllers need. Immutable; shared by all requests."""

    def __init__(self, catalogue: Catalogue, venues: Sequence[Venue], default: str, clock: Callable[[], datetime]) -> None:
        """Bind the catalogue to every venue. Raises VenueError when a venue names what is not there, or a default that is not."""
        self.catalogue, self.default, self.clock = catalogue, default, clock
        self.venues = {venue.name: venue for venue in venues}
        self.evaluators: Mapping[str, Evaluator] = {venue.name: Evaluator(Ruleset(catalogue, venue)) for venue in venues}
        self.intake = Intake(catalogue.schema, self.evaluators, default)
        self.rules: dict[str, RuleAnswer] = describe.rules(catalogue)
        self.pack_names = [one.pack.name for one in catalogue.installed]
        described = document(catalogue)
        self.document, self.page = dump(described), page(described).encode()
        self.packs = msgspec.json.encode(describe.packs(catalogue))
        self.ready = msgspec.json.encode(self._ready())
        self._encode = msgspec.json.Encoder().encode

    def evaluate(self, body: bytes) -> tuple[bytes, int]:
        """Return the encoded evaluation of a body, and how many works it held. Raises BadInput with every fault."""
        request = self.intake.read(body)
        evaluator = self.evaluators[self.default if request.venue is None else request.venue]
        try:
            evaluation: Evaluation = evaluator.evaluate(request.works, request.stage)
        except BadWorks as bad:
            raise from_bad_works(bad) from None
        evaluation.evaluated_at = stamp(self.clock())
        return self._encode(evaluation), len(request.works)

    def _ready(self) -> Ready:
        installed = self.catalogue.installed
        return Ready(
            status="degraded" if self.catalogue.faults else "ready",
            packs=tuple(ReadyPack(one.pack.name, one.pack.version, one.fingerprint) for one in installed),
            faults=self.catalogue.faults,
            default_venue=self.default,
        )


def stamp(moment: datetime) -> str:
    """Return a moment as answers and logs state it: UTC, whole seconds, Z. A moment without a zone is taken as UTC."""
    utc = moment if moment.tzinfo is UTC or moment.tzinfo is None else moment.astimezone(UTC)
    return utc.replace(tzinfo=None).isoformat(timespec="seconds") + "Z"


def encoded(answer: Any) -> bytes:
    """Return an answer as JSON."""
    return msgspec.json.encode(answer)
