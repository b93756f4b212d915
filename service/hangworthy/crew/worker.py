"""A process of the crew: ``python -m hangworthy.crew.worker`` reads messages from standard input and answers on standard output.

It ends when its input ends, so that none is left behind by a service that was killed.
"""

import gc
import os
import signal
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any, BinaryIO

import msgspec

from hangworthy.crew.messages import LENGTH, MOST_VIEWS, Ask, Forget, Line, Made, Ready, Setup, VenueKnown, View, framed, setup_of, to_crew
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.languages import with_languages
from hangworthy.engine.ruleset import Ruleset
from hangworthy.evaluating import filed
from hangworthy.history.port import NewEvaluation
from hangworthy.intake import Intake
from hangworthy.venues.content import read_content

_PIPE_BYTES = 1 << 20  # an answer with every pack has a hundred kilobytes
_PR_SET_PDEATHSIG = 1


class StrangeVenueError(ValueError):
    """Raised when a venue, bound here, is not what it is in the service."""


class Venues(Mapping[str, Evaluator]):
    """The evaluators of a view, each bound when it is first asked for, and shared by all views."""

    def __init__(self, catalogue: Catalogue, known: tuple[VenueKnown, ...], bound: dict[VenueKnown, Evaluator]) -> None:
        """Know the venues; ``bound`` are those of all views."""
        self._catalogue, self.bound = catalogue, bound
        self._known = {one.name: one for one in known}

    def __getitem__(self, name: str) -> Evaluator:
        """Return the evaluator of a venue. Raises KeyError, and StrangeVenueError when it cannot be the service's."""
        one = self._known[name]
        found = self.bound.get(one)
        if found is None:
            content = msgspec.json.decode(one.content)
            venue, faults = read_content(content, self._catalogue.schema, one.version)
            found = Evaluator(Ruleset(self._catalogue, venue))
            used = found.ruleset.venue_used
            if faults or (used.name, used.version, used.fingerprint) != (one.name, one.version, one.fingerprint):
                raise StrangeVenueError(name)
            self.bound[one] = found
        return found

    def __iter__(self) -> Iterator[str]:
        """Yield the names."""
        return iter(self._known)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._known)


class Worker:
    """Evaluates what it is asked."""

    def __init__(self, setup: Setup) -> None:
        """Load the packs as the service did."""
        installed, faults = discover(setup.packs, load_seconds=setup.load_seconds)
        self.catalogue = with_languages(build_catalogue(installed, faults, tolerate=True), tolerate=True)
        self.fit = setup_of(self.catalogue, setup.packs, setup.load_seconds) == setup
        self._intake = Intake(self.catalogue.schema)
        self.views: dict[int, Intake] = {}
        self.bound: dict[VenueKnown, Evaluator] = {}

    def take(self, message: View | Ask | Forget) -> Made | None:
        """Do what a message says; return what is to be answered."""
        if isinstance(message, Ask):
            intake = self.views[message.view]
            return Made(message.number, [_made(intake, line) for line in message.lines])
        if isinstance(message, Forget):
            for evaluator in self.bound.values():
                evaluator.forget()
            return None
        if len(self.views) >= MOST_VIEWS:
            del self.views[next(iter(self.views))]
        if len(self.bound) > len(message.venues) + MOST_VIEWS:  # venues that changed meanwhile
            self.bound.clear()
        self.views[message.number] = self._intake.over(Venues(self.catalogue, message.venues, self.bound), message.default)
        return None


def _made(intake: Intake, line: Line) -> NewEvaluation | None:
    """Return the evaluation of a line; None when anything at all is wrong with it: the service says what, and says it once."""
    try:
        return msgspec.structs.replace(filed(intake, line.body, line.at, id=line.id, brief=line.brief), request=b"")
    except Exception:  # noqa: BLE001 - see above
        return None


def work(source: BinaryIO, sink: BinaryIO) -> None:
    """Answer messages until there are no more."""
    worker: Worker | None = None
    while len(head := source.read(LENGTH)) == LENGTH:
        message: Any = to_crew(source.read(int.from_bytes(head, "big")))
        answer: Ready | Made | None
        if isinstance(message, Setup):
            worker = Worker(message)
            gc.collect()
            gc.freeze()  # packs and rules live as long as the process
            answer = Ready(worker.fit)
        else:
            assert worker is not None  # noqa: S101 - the first message sets it up
            answer = worker.take(message)
        if answer is not None:
            sink.write(framed(answer))
            sink.flush()


def main() -> None:
    """Work on the standard streams; what a pack prints goes elsewhere, and what it would read is empty."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is the service's, which closes the input
    _end_with(os.getppid())
    source, sink = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    with open(os.devnull, "rb") as nothing:
        os.dup2(nothing.fileno(), 0)
    os.dup2(2, 1)
    with suppress(ImportError, AttributeError, OSError):  # only Linux has larger pipes
        import fcntl

        fcntl.fcntl(sink.fileno(), fcntl.F_SETPIPE_SZ, _PIPE_BYTES)
    with suppress(BrokenPipeError):
        work(source, sink)


def _end_with(parent: int) -> None:
    """Have the system end this process with the service, also while a rule or a pack's import keeps it from reading its input."""
    with suppress(ImportError, AttributeError, OSError):  # only Linux does
        import ctypes

        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != parent:  # it was too late
            os._exit(1)


if __name__ == "__main__":
    main()
