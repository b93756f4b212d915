"""Evaluation: works in, findings, outcomes and questions out. Pure, and the same bytes for the same input, always."""

from collections.abc import Sequence
from typing import Any

from hangworthy.contract.effect import Outcome, Stage, State
from hangworthy.contract.finding import Evaluation, Finding, WorkAnswer
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.explain import explain
from hangworthy.engine.outcome import outcomes, worst_of
from hangworthy.engine.questions import Questions
from hangworthy.engine.reading import BadFact, ReadWork, nearest
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.sets import set_verdicts
from hangworthy.engine.verdict import Verdict, verdict


class BadWorks(ValueError):
    """Raised when facts cannot be read; carries all of them, each with the place of its work in the request."""

    def __init__(self, bad: list[tuple[int, BadFact]]) -> None:
        """Hold the bad facts."""
        self.bad = bad
        super().__init__("; ".join(f"/works/{place}{one.pointer}: {one.message}" for place, one in bad))


class Evaluator:
    """Asks one ruleset. Built once per venue; safe to share, it keeps nothing of what it was asked."""

    def __init__(self, ruleset: Ruleset) -> None:
        """Prepare what does not change between requests."""
        self.ruleset = ruleset
        self.questions = Questions(ruleset.schema)

    def evaluate(self, works: Sequence[Any], stage: Stage = Stage.OFFER) -> Evaluation:
        """Evaluate decoded works of the ruleset's schema.

        Raises BadWorks when text is no quantity, a number is out of its sane range, a wall is unknown, or two works share a ref.
        """
        ruleset = self.ruleset
        reads = self.read(works)
        refs = [work.ref for work in works]
        verdicts = [self._verdicts(read, stage) for read in reads]
        for bound in ruleset.sets:
            for mine, one in zip(verdicts, set_verdicts(bound, reads, refs, ruleset.guard), strict=True):
                mine.append((bound, one, ()))
        answers = [self._answer(ref, read, mine, stage) for ref, read, mine in zip(refs, reads, verdicts, strict=True)]
        outcome, at_worst = worst_of(one.outcome for one in answers), worst_of(one.at_worst for one in answers)
        return Evaluation(
            stage=stage, venue=ruleset.venue_used, packs=ruleset.packs, outcome=outcome, at_worst=at_worst,
            settled=all(one.settled for one in answers), works=answers, faults=ruleset.faults,
        )  # fmt: skip

    def read(self, works: Sequence[Any]) -> list[ReadWork]:
        """Read all works, or raise BadWorks with every fact that cannot be read."""
        bad: list[tuple[int, BadFact]] = []
        reads, seen = [], set()
        ruleset = self.ruleset
        for place, work in enumerate(works):
            name = work.wall_name
            values = ruleset.anywhere if name is None else ruleset.places.get(name)
            read = ruleset.reader.read(work, ruleset.anywhere if values is None else values)
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

    def _no_wall(self, name: str) -> str:
        walls = list(self.ruleset.places)
        if not walls:
            return "This venue lists no walls; leave the wall out."
        return f"This venue has no such wall; it has {', '.join(walls[:5])}.{nearest(name, walls)}"

    def _verdicts(self, read: ReadWork, stage: Stage) -> list[tuple[BoundRule, Verdict, tuple[tuple[str, ...], ...]]]:
        guard, values, uncertain = self.ruleset.guard, read.values, read.uncertain
        found: list[tuple[BoundRule, Verdict, tuple[tuple[str, ...], ...]]] = []
        for ways in self.ruleset.singles:
            if len(ways) == 1:
                found.append((ways[0], verdict(ways[0], values, uncertain, guard), ()))
            else:
                found += _any_way([(bound, verdict(bound, values, uncertain, guard)) for bound in ways], stage)
        return found

    def _answer(self, ref: str, read: ReadWork, verdicts: list[Any], stage: Stage) -> WorkAnswer:
        slots = self.questions.slots
        findings: list[Finding] = [explain(bound, one, read.values, slots, stage, instead) for bound, one, instead in verdicts]
        if self.ruleset.sets:
            findings.sort(key=lambda finding: finding.rule)  # stable: ways of measuring keep their order
        outcome, at_worst = outcomes(findings)
        if self.ruleset.faults:
            at_worst = Outcome.REFUSE
        settled = outcome is at_worst and not self.ruleset.faults
        checked = sum(finding.state is not State.NOT_APPLICABLE for finding in findings)
        return WorkAnswer(ref, outcome, at_worst, settled, checked, findings, self.questions.rank(findings))


def _any_way(ways: list[tuple[BoundRule, Verdict]], stage: Stage) -> list[tuple[BoundRule, Verdict, tuple[tuple[str, ...], ...]]]:
    """Return the verdicts of several ways of measuring one thing.

    Each way that was measured gives its own; with none, one unknown remains: the way that is due and needs least, with the others
    beside it as what could be given instead.
    """
    open_ways = [(bound, one) for bound, one in ways if one.state is State.UNKNOWN]
    measured = [(bound, one, ()) for bound, one in ways if one.state not in (State.UNKNOWN, State.NOT_APPLICABLE)]
    if measured:
        return list(measured)
    if not open_ways:
        return [(*ways[0], ())]
    open_ways.sort(key=lambda way: (way[0].rule.due.rank > stage.rank, len(way[1].missing), way[0].rule.prefer, way[0].rule.by))
    (bound, best), rest = open_ways[0], open_ways[1:]
    best.effect = max((bound.worst for bound, _ in ways), key=lambda effect: effect.rank)
    instead = tuple(sorted({one.missing for _, one in rest if one.missing != best.missing}))
    return [(bound, best, instead)]
