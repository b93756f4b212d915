"""Small packs for tests of the engine: facts of every kind, and helpers that build a venue around a few rules."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Literal

import msgspec

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Evaluation,
    Finding,
    Four,
    Limits,
    Rule,
    RulePack,
    Section,
    Stage,
    Words,
    ask,
    fact,
    limit,
    rule,
    set_rule,
)
from hangworthy.engine.catalogue import Catalogue, Installed, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.fault import Fault
from hangworthy.engine.ruleset import Ruleset, Venue


class SmallFacts(Section):
    """Facts of every kind."""

    gap_mm: float = ask("Gap", "How wide is the gap?", "With a feeler gauge.", lo=0, hi=500)
    other_mm: float = ask("Other gap", "How wide is the other gap?", "With a feeler gauge.", lo=0, hi=500)
    free_mm: float = ask("Free", "Any number?")
    gaps_mm: Four = ask("Gaps", "How wide are all four?", "With a feeler gauge.", lo=0, hi=500)
    many_mm: tuple[float, ...] = ask("Many", "How wide are they all?", lo=0, hi=500)
    keyed: bool = ask("Keys", "Has it keys?", "Look at the back.")
    braced: bool = ask("Brace", "Has it a brace?")
    hue: Literal["red", "green", "blue"] = ask("Hue", "Which hue has it?")
    marks: tuple[Literal["dent", "tear"], ...] = ask("Marks", "Which marks has it?")
    note: str = ask("Note", "Anything else?", asked_of="coordinator")
    edition: str = ask("Edition", "Which edition is it of?")
    number: int = ask("Number", "Which number in the edition?", lo=1, hi=999)
    seen_on: date = ask("Seen on", "When was it seen?")


class SmallLimits(Limits):
    """Limits of the small pack."""

    gap_mm: float = limit(6, "mm", OWN_POLICY, "the widest gap", lo=0, hi=50)
    low_mm: float = limit(2, "mm", OWN_POLICY, "the narrowest gap", lo=0, hi=50)


WORDS = Words(measure="Gap", met="It is fine.", unmet="The gap is {value}, at most {limit} is right.", remedy="Close the gap.")
PLAIN = Words(measure="Gap", met="It is fine.", unmet="It is not fine.", remedy="Put it right.")
VENUE = Venue(name="test")


def small_rule(name: str, **details: Any) -> Any:
    """The rule decorator with the usual details filled in."""
    details = {"effect": Effect.REPAIR, "source": OWN_POLICY, "words": PLAIN} | details
    return rule(name, **details)


def small_set_rule(name: str, **details: Any) -> Any:
    details = {"effect": Effect.REFUSE, "source": OWN_POLICY, "words": PLAIN} | details
    return set_rule(name, **details)


def pack(*rules: Rule, **details: Any) -> RulePack:
    base: dict[str, Any] = {"name": "small", "version": "1", "title": "Small", "limits": SmallLimits, "sections": {"small": SmallFacts}}
    cases = {one.name: "" for one in rules}
    return RulePack(**(base | {"rules": list(rules), "cases": cases} | details))


def install(one: RulePack, distribution: str = "") -> Installed:
    return Installed(pack=one, distribution=distribution, case_names=frozenset(one.cases))


def catalogue(*packs: RulePack, faults: Sequence[Fault] = (), tolerate: bool = False) -> Catalogue:
    return build_catalogue([install(one) for one in packs], faults, tolerate=tolerate)


def evaluator(*things: Rule | RulePack, venue: Venue = VENUE, **details: Any) -> Evaluator:
    """An evaluator of packs; loose rules make one small pack together."""
    packs = [one for one in things if isinstance(one, RulePack)]
    loose = [one for one in things if isinstance(one, Rule)]
    return Evaluator(Ruleset(catalogue(*packs, *([pack(*loose)] if loose else []), **details), venue))


def decode(one: Evaluator, works: Sequence[Mapping[str, Any]]) -> list[Any]:
    """Works as a request's body brings them; a ref is filled in."""
    full = [{"ref": f"w{place}", **work} for place, work in enumerate(works)]
    request = msgspec.json.decode(msgspec.json.encode({"works": full}), type=one.ruleset.schema.request)
    return list(request.works)


def evaluate(one: Evaluator, *works: Mapping[str, Any], stage: Stage = Stage.OFFER) -> Evaluation:
    return one.evaluate(decode(one, works), stage)


def small(**facts: Any) -> dict[str, Any]:
    """A work with facts of the small pack's own section."""
    return {"small": facts}


def finding(one: Evaluator | Rule, work: Mapping[str, Any], stage: Stage = Stage.OFFER) -> Finding:
    """The first finding for one work."""
    asked = evaluator(one) if isinstance(one, Rule) else one
    return evaluate(asked, work, stage=stage).works[0].findings[0]


def returning(answer: Any, **details: Any) -> Rule:
    """A rule that returns something whatever the gap is."""

    @small_rule("returns", **details)
    def returns(gap: float = fact("small.gap_mm")) -> Check:
        """Is it so?"""
        return answer() if callable(answer) else answer

    return returns
