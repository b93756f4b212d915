"""A small pack with a fact of every kind, for tests of the service that must not depend on a pack of the trade."""

from datetime import date
from typing import Literal

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Four,
    Limits,
    RulePack,
    Section,
    Stage,
    Words,
    ask,
    at_most,
    fact,
    holds,
    limit,
    rule,
    where,
)  # fmt: skip

WORK = 'work = {kind = "panel", tiny = {gap_mm = 2, keyed = true}}'
CASE = f"""
[[case]]
name = "a good one"
kind = "pass"
{WORK}
expect = {{state = "met"}}
"""


class TinyFacts(Section):
    """Facts of the tiny pack."""

    gap_mm: float = ask("Gap", "How wide is the gap?", "Use a feeler gauge.", lo=0, hi=100)
    corner_gaps_mm: Four = ask("Corner gaps", "What are the gaps at the corners?", "Use a feeler gauge.", lo=0, hi=100)
    layers: int = ask("Layers", "How many layers are there?", lo=0, hi=20)
    keyed: bool = ask("Keys", "Has it keys?")
    weave: Literal["plain", "twill", "satin"] = ask("Weave", "Which weave is it?")
    note: str = ask("Note", "What else is there to say?", max_length=40)
    varnished_on: date = ask("Varnished on", "When was it varnished?")
    marks: tuple[str, ...] = ask("Marks", "Which marks are on it?", max_length=10)


class TinyLimits(Limits):
    """Limits of the tiny pack."""

    gap_mm: float = limit(5, "mm", OWN_POLICY, "Widest gap that is fine.", lo=0, hi=50)


@rule(
    "gap", effect=(Effect.PREPARE, Effect.REPAIR), source=OWN_POLICY, applies=[where("kind", "panel", "stretched-canvas")], uses=["gap_mm"],
    words=Words(measure="Gap", met="The gap is fine.", unmet="The gap of {value} is too wide.", remedy="Close the gap."),
)  # fmt: skip
def gap(limits: TinyLimits, width: float = fact("tiny.gap_mm"), keyed: bool = fact("tiny.keyed", try_each=True)) -> Check:
    """Is the gap small enough?

    A feeler gauge tells. Close it with the keys, or ask a framer.
    """
    return at_most(width, limits.gap_mm, unit="mm", effect=Effect.PREPARE if keyed else Effect.REPAIR)


@rule(
    "weave", effect=Effect.ADVISE, source=OWN_POLICY, due=Stage.ARRIVAL,
    words=Words(measure="Weave", met="The weave is fine.", unmet="Satin snags.", remedy="Take care."),
)  # fmt: skip
def weave(kind: Literal["plain", "twill", "satin"] = fact("tiny.weave")) -> Check:
    """Is the weave a strong one?"""
    return holds(kind != "satin")


def tiny_pack(version: str = "1.2") -> RulePack:
    """Return the pack."""
    return RulePack(
        name="tiny", version=version, title="A tiny pack", rules=[gap, weave], limits=TinyLimits, sections={"tiny": TinyFacts},
        cases={"gap": CASE, "weave": CASE.replace(WORK, 'work = {tiny = {weave = "plain"}}')},
    )  # fmt: skip
