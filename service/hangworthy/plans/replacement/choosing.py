"""Choosing: each candidate is asked about at that wall, beside the works that stay; what could hang there is ranked, and the rest told why.

The order does not depend on the order of the request, and one candidate never changes what is said of another.
"""

import math
from collections.abc import Iterable, Mapping

from hangworthy.contract.cautions import CAUTION_WEIGHT
from hangworthy.contract.effect import Effect, Outcome, State
from hangworthy.contract.finding import Finding
from hangworthy.engine.evaluate import Beside, Evaluator
from hangworthy.engine.reading import ReadWork
from hangworthy.engine.schema import Schema
from hangworthy.intake import Intake
from hangworthy.plans.asked import Outer, outer, value_of
from hangworthy.plans.replacement.answers import NotOffered, Offer, Reason, Replacement, ToDo
from hangworthy.plans.replacement.request import Asked, Reader

MOST_ASKED = 5
_FRAMES = "/venue/frames"
_MEASURED = (State.MET, State.UNMET, State.BORDERLINE)


def replace(intake: Intake, evaluators: Mapping[str, Evaluator], default: str | None, body: bytes) -> tuple[Replacement, int]:
    """Return the replacements that a request asks for, and how many works it held. Raises BadInput with every fault."""
    asked = Reader(intake, evaluators, default).read(body)
    return chosen(asked), len(asked.candidates) + len(asked.neighbours)


def chosen(asked: Asked) -> Replacement:
    """Return what could hang there, the best first, and why the others could not."""
    ruleset = asked.evaluator.ruleset
    spending = {entry.code for entry in ruleset.catalogue.entries if entry.rule.spends}
    found = asked.evaluator.beside(asked.candidates, asked.neighbours, asked.stage)
    offers, others = [], []
    for work, one in zip(asked.candidates, found, strict=True):
        reasons = [*_unfit(asked, one), *_clashes(one), *_too_large(asked, work)]
        if reasons:
            others.append(NotOffered(work.ref, one.answer.outcome, tuple(reasons), work.title or ""))
        else:
            offers.append((_key(one, spending), work, one))
    offers.sort(key=lambda each: each[0])
    ranked = tuple(_offer(asked, rank, work, one, spending) for rank, (_, work, one) in enumerate(offers, 1))
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


def _unfit(asked: Asked, one: Beside) -> list[Reason]:
    """Return the findings of a work's own that keep it from hanging."""
    bad = Outcome.PREPARE.rank if asked.include_prepare else Outcome.READY.rank
    if one.answer.outcome.rank <= bad:
        return []
    shared = {finding.rule for finding in one.clashes}
    own = [finding for finding in _unmet(one.answer.findings) if finding.effect.rank > bad and finding.rule not in shared]
    return [Reason("not-fit", each.coordinator, each.rule, each.effect, remedy=each.remedy) for each in own]


def _unmet(findings: Iterable[Finding]) -> list[Finding]:
    return sorted((one for one in findings if one.state is State.UNMET), key=lambda one: (-one.effect.rank, one.rule))


def _clashes(one: Beside) -> list[Reason]:
    mine = [Reason("clash", each.coordinator, each.rule, each.effect, remedy=each.remedy) for each in _unmet(one.clashes)]
    theirs = [Reason("clash", each.coordinator, each.rule, each.effect, ref, each.remedy) for ref, each in one.spoilt]
    return mine + sorted(theirs, key=lambda each: (each.rule, each.beside))


def _too_large(asked: Asked, work: object) -> list[Reason]:
    """Return why a work does not go into the place that became free, or onto the wall, whatever the rules know of it."""
    ruleset, schema = asked.evaluator.ruleset, asked.evaluator.ruleset.schema
    read = asked.evaluator.read_at(work, ruleset.places[asked.wall_name])
    size, room = outer(schema, read), asked.place or _wall(schema, read)
    if not isinstance(size, Outer):
        titles = ", ".join(schema.by_path[path].ask.title.lower() for path in size)
        unknown = Reason("place", f"Its outer size is not known, so it may not go into the place; missing: {titles}.")
        return [unknown] if asked.place else []
    if size.width <= room[0] and size.height <= room[1]:
        return []
    name = "the place takes" if asked.place else "the wall is"
    most = " × ".join("any" if side == math.inf else f"{side:g}" for side in room)
    return [Reason("place", f"It measures {size.width:g} × {size.height:g} mm; {name} {most} mm.")]


def _wall(schema: Schema, read: ReadWork) -> tuple[float, float]:
    """Return width and height of the wall [mm], as far as they are known."""
    wide, high = (value_of(schema, read, path) for path in ("wall.width_mm", "wall.height_mm"))
    return math.inf if wide is None else wide, math.inf if high is None else high


def _offer(asked: Asked, rank: int, work: object, one: Beside, spending: set[str]) -> Offer:
    answer = one.answer
    to_do = tuple(
        ToDo(each.rule, each.artist, each.remedy) for each in _unmet(answer.findings) if each.effect.rank > Effect.ADVISE.rank
    )  # fmt: skip
    open_ones = tuple(dict.fromkeys(question.title for question in answer.questions))[:MOST_ASKED]
    return Offer(
        rank=rank, ref=answer.ref, outcome=answer.outcome, at_worst=answer.at_worst, settled=answer.settled,
        reasons=tuple(_reasons(asked, one, spending)), title=getattr(work, "title", None) or "", spends=_spends(answer.findings, spending),
        to_do=to_do, still_to_ask=() if answer.settled else open_ones,
    )  # fmt: skip


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
