"""Works for the command line: from submissions to evaluations, at the venue that was chosen."""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

from hangworthy.cli.inputs import FileFault, InputError, Submission
from hangworthy.contract.effect import Stage
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.evaluate import BadWorks, Evaluator
from hangworthy.engine.fault import VenueError
from hangworthy.engine.reading import nearest
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.intake import InputFault, from_bad_works
from hangworthy.settings import Settings
from hangworthy.venues import default_venue, load_venues


class Checker:
    """Evaluates submissions against the venue that was chosen, or that each names; each venue is bound once."""

    def __init__(self, catalogue: Catalogue, settings: Settings, chosen: str | None = None, day: date | None = None) -> None:
        """Load the venues. ``chosen`` is a file or a name; ``day`` is the day of the evaluations, today where it is not given.

        Raises VenueError.
        """
        self.day = day or datetime.now(UTC).date()
        self.catalogue = catalogue
        self.venues: dict[str, tuple[Venue, str]] = {}
        listed = [self._take(path, venue) for path, venue in zip(settings.venues, load_venues(settings.venues, catalogue), strict=True)]
        if not listed:
            built_in = default_venue()
            self.venues[built_in.name] = (built_in, "")
        self.default = settings.default_venue or next(iter(self.venues))
        self.chosen = self._choose(chosen) if chosen is not None else None
        self._evaluators: dict[str, Evaluator] = {}

    def _take(self, path: Path, venue: Venue) -> str:
        if self.venues.get(venue.name, (venue, ""))[1]:
            raise VenueError(f"{path}: name: venue “{venue.name}” is also in {self.venues[venue.name][1]}; give each its own name.")
        self.venues[venue.name] = (venue, str(path))
        return venue.name

    def _choose(self, chosen: str) -> str:
        """Return the name of the venue meant: a listed name before a file of that name."""
        if chosen in self.venues:
            return chosen
        if chosen.endswith(".toml") or Path(chosen).exists():
            self.venues = {name: pair for name, pair in self.venues.items() if pair[1] != chosen}
            return self._take(Path(chosen), *load_venues([Path(chosen)], self.catalogue))
        raise VenueError(self._unknown(chosen) + " A file's name ends in .toml.")

    def _unknown(self, name: str) -> str:
        known = list(self.venues)
        return f"There is no venue “{name[:80]}”; there are: {', '.join(known[:10])}.{nearest(name, known)}"

    def ruleset(self, name: str | None, language: str | None = None) -> Ruleset:
        """Return the rules of the chosen venue, or else of the one named, or else of the default one, in a language.

        Raises VenueError.
        """
        return self.evaluator(self.chosen or name or self.default).speaking(language).ruleset

    def evaluator(self, name: str) -> Evaluator:
        """Return what asks the rules of a venue. Raises VenueError."""
        if name not in self.venues:
            raise VenueError(self._unknown(name))
        if name not in self._evaluators:
            venue, file = self.venues[name]
            try:
                self._evaluators[name] = Evaluator(Ruleset(self.catalogue, venue)).on(self.day)
            except VenueError as error:
                raise VenueError(f"{file}: {error}" if file else str(error)) from None
        return self._evaluators[name]

    def evaluate_all(self, submissions: Sequence[Submission], stage: Stage | None, language: str | None = None) -> Iterator[Evaluation]:
        """Return the evaluations of all submissions, each made when it is asked for; ``stage`` and ``language`` replace theirs.

        All are read before the first one is made. Raises InputError with all that cannot be read.
        """
        faults: list[FileFault] = []
        for one in submissions:
            name = self.chosen or one.request.venue or self.default
            if self.chosen is None and one.request.venue is not None and name not in self.venues:
                faults += one.located([InputFault(f"{one.cut}/venue", self._unknown(name))])
                continue
            try:
                self.evaluator(name).read(one.request.works)
            except BadWorks as bad:
                faults += one.located(from_bad_works(bad).faults)
        if faults:
            raise InputError(faults)
        return map(lambda one: self._evaluated(one, stage, language), submissions)

    def _evaluated(self, one: Submission, stage: Stage | None, language: str | None) -> Evaluation:
        evaluator = self.evaluator(self.chosen or one.request.venue or self.default).speaking(language or one.request.language)
        return evaluator.evaluate(one.request.works, stage or one.request.stage)
