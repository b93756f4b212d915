"""Choosing: each candidate is asked about at that wall, beside the works that stay; what could hang there is ranked, and the rest told why.

The order does not depend on the order of the request, and one candidate never changes what is said of another.
"""

import math
from collections.abc import Iterable, Mapping
from itertools import chain
from typing import NamedTuple

from hangworthy.contract.cautions import CAUTION_WEIGHT
from hangworthy.contract.effect import Effect, Outcome, State
from hangworthy.contract.finding import Finding
from hangworthy.engine.bound import BoundRule
from hangworthy.engine.evaluate import Beside, Evaluator
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.ruleset import Ruleset
from hangworthy.engine.schema import Schema
from hangworthy.intake import Intake
from hangworthy.plans.asked import OWN_SIZE, Outer, least, mismatch, outer, value_of
from hangworthy.plans.replacement.answers import NotOffered, Offer, Reason, Replacement, ToDo, WhyNot
from hangworthy.plans.replacement.request import Asked, Reader
from hangworthy.plans.told import to_coordinator

MOST_ASKED = 5
_FRAMES = "/venue/frames"
_MEASURED = (State.MET, State.UNMET, State.BORDERLINE)
_Way = tuple[str, str]  # the code of a rule, and by which way of measuring


class Marks(NamedTuple):
    """What rules are to a replacement: they measure what is used up for good, only another wall mends it, or it is done at the wall."""

    spending: set[str]
    moving: set[_Way]
    ours: set[_Way]


def replace(intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None, body: bytes) -> tuple[Replacement, int]:
    """Return the replacements that a request asks for, and how many works it held. Raises BadInput with every fault."""
    asked = Reader(intake, evaluators, default).read(body)
    return chosen(asked), len(asked.candidates) + len(asked.neighbours)


def chosen(asked: Asked) -> Replacement:
    """Return what could hang there, the best first, and why the others could not."""
    ruleset = asked.evaluator.ruleset
    marks = _marks(ruleset)
    found = asked.evaluator.beside(asked.candidates, asked.neighbours, asked.stage)
    offers, others = [], []
    for work, one in zip(asked.candidates, found, strict=True):
        reasons = [*_unfit(asked, one, marks), *_clashes(one), *_size(asked, work)]
        if reasons:
            others.append(NotOffered(work.ref, one.answer.outcome, tuple(reasons), work.title or ""))
        else:
            offers.append((_key(one, marks.spending), work, one))
    offers.sort(key=lambda each: each[0])
    ranked = tuple(_offer(asked, rank, work, one, marks) for rank, (_, work, one) in enumerate(offers, 1))
    return Replacement(
        venue=ruleset.venue_used, packs=ruleset.packs, wall_name=asked.wall_name, stage=asked.stage, offers=ranked[: asked.most],
        not_offered=tuple(sorted(others, key=lambda one: one.ref)), left_off=max(0, len(ranked) - asked.most), cautions=(CAUTION_WEIGHT,),
    )  # fmt: skip


def _key(one: Beside, spending: set[str]) -> tuple[int, int, float, str]:
    """Return by what offers are ranked: fit now, fit at worst, the least used up for good (not known comes last), then by ref."""
    spends = _spends(one.answer.findings, spending)
    return one.answer.outcome.rank, one.answer.at_worst.rank, math.inf if spends is None else spends, one.answer.ref


def _spends(findings: Iterable[Finding], spending: set[str]) -> float | None:
    """Return the largest share of a limit that is used up for good; None while one that concerns the work is not known."""
    mine = [one for one in findings if one.rule in spending and one.state is not State.NOT_APPLICABLE]
    if not mine or any(one.state not in _MEASURED for one in mine):
        return None
    return max(one.share or 0.0 for one in mine)  # what is measured against no limit uses up nothing


def _marks(ruleset: Ruleset) -> Marks:
    rules = [*chain.from_iterable(ruleset.singles), *ruleset.sets]
    return Marks(
        spending={one.code for one in rules if one.rule.spends},
        moving={(one.code, one.by) for one in rules if _another_wall(ruleset.schema, one)},
        ours={(one.code, one.by) for one in rules if one.rule.done_by_us},
    )


def _another_wall(schema: Schema, bound: BoundRule) -> bool:
    """Return whether nothing done to a work mends what a rule finds: its pack says so, or it reads facts of wall and venue alone."""
    reads = {*bound.indexes, *(slot.index for slots, _ in bound.conditions for slot in slots)}
    return bound.rule.another_wall or min(reads, default=-1) >= schema.wall_start


def _unfit(asked: Asked, one: Beside, marks: Marks) -> list[Reason]:
    """Return the findings of a work's own that keep it from hanging: those worse than may be, and what only another wall mends."""
    bad = Effect.PREPARE if asked.include_prepare else Effect.ADVISE
    shared, reasons = {finding.rule for finding in one.clashes}, []
    for each in _unmet(one.answer.findings):
        moves = (each.rule, each.by) in marks.moving and each.effect is not Effect.ADVISE
        if each.rule not in shared and (moves or each.effect.rank > bad.rank):
            kind: WhyNot = "wall" if moves else "not-fit"
            reasons.append(Reason(kind, each.coordinator, each.rule, each.effect, remedy=to_coordinator(each.remedy)))
    return reasons


def _unmet(findings: Iterable[Finding]) -> list[Finding]:
    return sorted((one for one in findings if one.state is State.UNMET), key=lambda one: (-one.effect.rank, one.rule))


def _clashes(one: Beside) -> list[Reason]:
    mine = [Reason("clash", each.coordinator, each.rule, each.effect, remedy=to_coordinator(each.remedy)) for each in _unmet(one.clashes)]
    theirs = [Reason("clash", each.coordinator, each.rule, each.effect, ref, to_coordinator(each.remedy)) for ref, each in one.spoilt]
    return mine + sorted(theirs, key=lambda each: (each.rule, each.beside))


def _size(asked: Asked, work: object) -> list[Reason]:
    """Return why a work does not go into the place that became free, or onto the wall, or why nobody can tell; whatever the rules know."""
    ruleset, schema = asked.evaluator.ruleset, asked.evaluator.ruleset.schema
    read = asked.evaluator.read_at(work, ruleset.places[asked.wall_name])
    if (odd := mismatch(schema, read)) is not None:
        return [Reason("not-known", odd[1])]
    size, sides, room = outer(schema, read), least(schema, read), asked.place or _wall(schema, read)
    if any(side is not None and side > most for side, most in zip(sides, room, strict=True)):
        name = "the place takes" if asked.place else "the wall is"
        measures, most = _by(sides, "not known"), _by([None if side == math.inf else side for side in room], "any")
        return [Reason("place", f"It measures {measures} mm; {name} {most} mm.")]
    if isinstance(size, Outer) or (None not in sides and not asked.place):
        return []  # how large it is with a frame is still to be asked
    known = "Its outer size is not known, so it may not go into the place" if None not in sides else "Its size is not known"
    titles = ", ".join(schema.by_path[path].ask.title.lower() for path in _lacking(sides, size))
    return [Reason("not-known", f"{known}; missing: {titles}.")]


def _by(sides: Iterable[float | None], unknown: str) -> str:
    return " × ".join(unknown if side is None else f"{side:g}" for side in sides)


def _lacking(sides: tuple[float | None, float | None], size: tuple[str, ...]) -> tuple[str, ...]:
    """Return the paths of what would tell a size: before it is known whether there is a frame, the work's own."""
    own = tuple(path for path, side in zip(OWN_SIZE, sides, strict=True) if side is None)
    return own if own and size == ("framed",) else size


def _wall(schema: Schema, read: ReadWork) -> tuple[float, float]:
    """Return width and height of the wall [mm], as far as they are known."""
    wide, high = (value_of(schema, read, path) for path in ("wall.width_mm", "wall.height_mm"))
    return math.inf if wide is None else wide, math.inf if high is None else high


def _offer(asked: Asked, rank: int, work: object, one: Beside, marks: Marks) -> Offer:
    answer = one.answer
    to_do = tuple(_to_do(each, marks) for each in _unmet(answer.findings) if each.effect is not Effect.ADVISE)
    open_ones = tuple(dict.fromkeys(question.title for question in answer.questions))[:MOST_ASKED]
    return Offer(
        rank=rank, ref=answer.ref, outcome=answer.outcome, at_worst=answer.at_worst, settled=answer.settled,
        reasons=tuple(_reasons(asked, one, marks.spending)), title=getattr(work, "title", None) or "",
        spends=_spends(answer.findings, marks.spending), to_do=to_do, still_to_ask=() if answer.settled else open_ones,
    )  # fmt: skip


def _to_do(finding: Finding, marks: Marks) -> ToDo:
    """Return what is to be done about a finding: by the coordinator where the programme does it, or the remedy says so."""
    remedy = to_coordinator(finding.remedy)
    ours = (finding.rule, finding.by) in marks.ours or remedy != finding.remedy
    return ToDo(finding.rule, finding.artist, remedy, "coordinator" if ours else "artist")


def _reasons(asked: Asked, one: Beside, spending: set[str]) -> Iterable[str]:
    """Yield why a work is offered, in the order of the ranking."""
    answer = one.answer
    if answer.outcome is Outcome.READY:
        yield "It is ready to hang here." if answer.settled else "It is ready as far as is known; some facts are still to be asked."
    else:
        yield "It can hang here once what is listed to do is done."
    for each in answer.findings:
        if each.rule in spending and each.state in _MEASURED:
            used = "" if each.share is None else f" That is {each.share * 100:.0f} % of it."
            yield each.coordinator + used
    yield from dict.fromkeys(each.artist for each in answer.findings if _FRAMES in each.facts and each.state is State.MET)
    if asked.neighbours:
        many = f"none of the {len(asked.neighbours)} works that stay"
        yield "It clashes with " + (many if len(asked.neighbours) > 1 else "no work that stays") + "."
