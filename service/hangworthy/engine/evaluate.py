"""Evaluation: works in, findings, outcomes and questions out. Pure, and the same bytes for the same input, always."""

import copy
from collections.abc import Sequence
from datetime import date
from operator import attrgetter
from typing import Any

import msgspec
from msgspec import UnsetType

from hangworthy.contract.effect import Outcome, Stage, State
from hangworthy.contract.finding import Evaluation, Finding, WorkAnswer
from hangworthy.engine.answered import Answered
from hangworthy.engine.counted import Counted, asked_again
from hangworthy.engine.explain import explain
from hangworthy.engine.group import Alone, Group, Together, Way
from hangworthy.engine.outcome import ranked, worst_of
from hangworthy.engine.outline import Outlines, Telling
from hangworthy.engine.questions import Questions
from hangworthy.engine.reading import BadFact, ReadWork, nearest
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.sets import alone, set_verdicts
from hangworthy.engine.told import Told
from hangworthy.engine.verdict import Verdict
from hangworthy.engine.written import Written

KEPT = 64
_code, _as_is, _at_worst = map(attrgetter, ("rule", "as_is", "at_worst"))


class BadWorks(ValueError):
    """Raised when facts cannot be read; carries all of them, each with the place of its work in the request."""

    def __init__(self, bad: list[tuple[int, BadFact]]) -> None:
        """Hold the bad facts."""
        self.bad = bad
        super().__init__("; ".join(f"/works/{place}{one.pointer}: {one.message}" for place, one in bad))


class Beside(msgspec.Struct, frozen=True):
    """A work that was asked about beside others: its answer, what is not met only because of them, and what it spoils for them.

    ``spoilt`` holds pairs of another work's ref and the finding about it that is unmet, or worse, beside this work alone.
    """

    answer: WorkAnswer
    clashes: tuple[Finding, ...]
    spoilt: tuple[tuple[str, Finding], ...]


class Evaluator:
    """Asks one ruleset. Built once per venue and safe to share.

    It may keep, per rule and stage, the last findings it made (at most twice ``keep``, by the facts alone, never by whose work it was),
    to spare making them again, and outlines of the works before. What it answers does not depend on it, and it can be forgotten.
    """

    def __init__(self, ruleset: Ruleset, keep: int = KEPT) -> None:
        """Prepare what does not change between requests; ``keep`` of 0 keeps nothing."""
        self.ruleset, self.keep = ruleset, keep
        self.questions = Questions(ruleset.language)
        self.written = Written(ruleset.schema, ruleset.language)
        self.counted = Counted(ruleset.schema, ruleset.language)
        self.day: date | None = None
        self._on: Evaluator | None = None  # the same on the day that was asked for last
        self._others: dict[str, Evaluator] = {}
        self._hazards = frozenset(entry.code for entry in ruleset.catalogue.entries if entry.rule.hazard)
        schema, guard, slots = ruleset.schema, ruleset.guard, self.questions.slots
        most = keep or None
        singles = [Group([Way(bound, schema, guard, slots, most) for bound in ways], schema) for ways in ruleset.singles]
        over_sets = [Together(Alone(bound, schema, guard, slots, most), schema, number) for number, bound in enumerate(ruleset.sets)]
        groups = sorted([*singles, *over_sets], key=attrgetter("code"))
        self.outlines = Outlines(groups, schema.slots, self.questions.rank, keep)

    def speaking(self, language: str | None) -> "Evaluator":
        """Return the same evaluator in a language (None: the default one), made when it is first asked for; each remembers for itself."""
        if language in (None, self.ruleset.language.code):
            return self
        found = self._others.get(language)
        if found is None:
            found = self._others[language] = Evaluator(Ruleset(self.ruleset.catalogue, self.ruleset.venue, language), self.keep)
        return found.on(self.day)

    def on(self, day: date | None) -> "Evaluator":
        """Return the same evaluator on a day, up to which days are counted where a day was given; on none, nothing is counted.

        It shares what is remembered: what was counted is a fact like any other.
        """
        if day == self.day:
            return self
        made = self._on
        if made is None or made.day != day:
            made = self._on = copy.copy(self)
            made.day, made._on = day, None
        return made

    def forget(self) -> None:
        """Forget what was told of any work, in every language: what was erased must not stay here either."""
        for one in (self, *self._others.values()):
            one.outlines.forget()

    def evaluate(self, works: Sequence[Any], stage: Stage = Stage.OFFER) -> Evaluation:
        """Evaluate decoded works of the ruleset's schema.

        Raises BadWorks when text is no quantity, a number is out of its sane range, a wall is unknown, or two works share a ref.
        """
        return self.answer(works, stage).whole()

    def answer(self, works: Sequence[Any], stage: Stage = Stage.OFFER) -> Answered:
        """Evaluate as ``evaluate`` does, for an answer that is to be encoded."""
        ruleset = self.ruleset
        reads = self.read(works)
        if len(works) == 1:  # a work that is asked about alone, as a form does, has nothing to be compared with
            told = [self.outlines.tell(reads[0], stage)]
        else:
            refs = [work.ref for work in works]
            compared = [set_verdicts(bound, reads, refs, ruleset.guard) for bound in ruleset.sets]
            told = [self.outlines.tell(read, stage, [of_all[place] for of_all in compared]) for place, read in enumerate(reads)]
        answers = [self._answer(work.ref, mine, read) for work, mine, read in zip(works, told, reads, strict=True)]
        outcome, at_worst = worst_of(one.outcome for one in answers), worst_of(one.at_worst for one in answers)
        evaluation = Evaluation(
            stage=stage, venue=ruleset.venue_used, packs=ruleset.packs, outcome=outcome, at_worst=at_worst,
            settled=all(one.settled for one in answers), works=answers, faults=ruleset.faults,
            language=ruleset.language.told, texts=ruleset.language.fingerprint,
        )  # fmt: skip
        return Answered(evaluation, told)

    def beside(self, works: Sequence[Any], others: Sequence[Any], stage: Stage = Stage.OFFER) -> list[Beside]:
        """Evaluate each of ``works`` as if it alone were put among ``others``. Raises BadWorks as ``evaluate`` does, for all in that order.

        A rule over several works is asked once for each work, so that the cost grows with their number, not with its square.
        """
        reads = self.read([*works, *others])
        fixed, refs = reads[len(works) :], [other.ref for other in others]
        before = [set_verdicts(bound, fixed, refs, self.ruleset.guard) for bound in self.ruleset.sets]
        return [self._beside(work.ref, read, fixed, refs, before, stage) for work, read in zip(works, reads, strict=False)]

    def _beside(
        self, ref: str, read: ReadWork, fixed: list[ReadWork], refs: list[str], before: list[list[Verdict]], stage: Stage
    ) -> Beside:  # fmt: skip
        clashes, spoilt, slots, own = list[Finding](), list[tuple[str, Finding]](), self.questions.slots, list[Verdict]()
        for bound, were in zip(self.ruleset.sets, before, strict=True):
            found = set_verdicts(bound, [read, *fixed], [ref, *refs], self.ruleset.guard)
            own.append(found[0])
            apart = alone(bound, read, self.ruleset.guard) if found[0].state is State.UNMET else found[0]
            if worsened(apart, found[0]) and fixed:
                clashes.append(explain(bound, found[0], read.values, slots, stage))
            for other, was, now, theirs in zip(refs, were, found[1:], fixed, strict=True):
                if worsened(was, now):
                    spoilt.append((other, explain(bound, now, theirs.values, slots, stage)))
        told = self.outlines.tell(read, stage, own)
        answer = self._answer(ref, told, read)
        answer.findings, answer.reading, answer.counted = told.findings(), msgspec.UNSET, msgspec.UNSET
        return Beside(answer, tuple(clashes), tuple(spoilt))

    def read(self, works: Sequence[Any]) -> list[ReadWork]:
        """Read all works, or raise BadWorks with every fact that cannot be read."""
        bad: list[tuple[int, BadFact]] = []
        reads, seen = [], set()
        ruleset = self.ruleset
        for place, work in enumerate(works):
            name = work.wall_name
            values = ruleset.anywhere if name is None else ruleset.places.get(name)
            read = self.read_at(work, ruleset.anywhere if values is None else values)
            if values is None:
                read.bad.append(BadFact("/wall_name", self._no_wall(name)))
            if work.ref in seen:
                read.bad.append(BadFact("/ref", "This reference is there twice; give each work of a request its own."))
            seen.add(work.ref)
            bad += [(place, one) for one in read.bad]
            reads.append(read)
        if bad:
            raise BadWorks(bad)
        return reads

    def read_at(self, work: Any, place: list[Any]) -> ReadWork:
        """Read one work: the facts that are given, what its free text says of others and what is counted from its days; and ``place``, the
        values of wall and venue.
        """
        read = self.ruleset.reader.read(work, place)
        if work.as_written is not None:
            read.text = self.written.fill(work.as_written, read.values)
        if self.day is not None:
            if counted := tuple(self.counted.fill(read.values, self.day)):
                read.counted = counted
            read.to_come = self.counted.to_come(read.values, self.day)
        return read

    def _no_wall(self, name: str) -> str:
        walls = list(self.ruleset.places)
        if not walls:
            return "This venue lists no walls; leave the wall out."
        return f"This venue has no such wall; it has {', '.join(walls[:5])}.{nearest(name, walls)}"

    def _answer(self, ref: str, told: Telling, read: ReadWork) -> WorkAnswer:
        """Return what a work is told, but for the findings themselves."""
        loud, outline = told.loud(), told.outline
        outcome, at_worst = ranked(max(map(_as_is, loud), default=0), max(outline.at_worst, *map(_at_worst, loud), 0))
        if self.ruleset.faults:
            at_worst = Outcome.REFUSE
        settled = outcome is at_worst and not self.ruleset.faults
        first = self._safe_first(loud) if outcome is not Outcome.READY else msgspec.UNSET
        asking = [one for one in loud if one.asks]
        if first is msgspec.UNSET and not asking:
            questions = outline.questions.copy()
        else:
            # Nobody measures a work, or turns it over, before it is cleared: till then only what tells more of the hazards is asked.
            asking = sorted([*outline.asking, *asking], key=_code)  # stable: ways of measuring keep their order
            questions = self.questions.rank([one.finding for one in asking if first is msgspec.UNSET or one.rule in self._hazards])
        if read.to_come:
            questions = asked_again(questions, read.to_come)
        return WorkAnswer(ref, outcome, at_worst, settled, told.concerns(), [], questions, read.text, read.counted, first)

    def _safe_first(self, loud: Sequence[Told]) -> tuple[str, ...] | UnsetType:
        """Return the rules that found a hazard, if any did."""
        return tuple(dict.fromkeys(one.rule for one in loud if one.as_is and one.rule in self._hazards)) or msgspec.UNSET


def worsened(before: Verdict, after: Verdict) -> bool:
    """Return whether a verdict is unmet that was not, or means worse than it did."""
    if after.state is not State.UNMET:
        return False
    return before.state is not State.UNMET or after.effect.rank > before.effect.rank
