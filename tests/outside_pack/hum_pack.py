"""A complete rule pack in one module: works with a motor or a lamp in them may hum, and quiet rooms are quiet."""

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Limits,
    RulePack,
    Section,
    Words,
    ask,
    at_most,
    fact,
    hookimpl,
    limit,
    rule,
    where,
)


class HumFacts(Section):
    """Sounds that the work makes."""

    powered: bool = ask("Powered", "Does anything in it run on electricity?", "Look for a plug, a battery or a motor.")
    level_dba: float = ask("Hum", "How loud is it, in dB(A)?", "Use a sound meter, one metre in front, with the room quiet.", lo=0, hi=140)


class HumLimits(Limits):
    """How loud a work may be."""

    loudest_dba: float = limit(30, "", OWN_POLICY, "the loudest hum, in dB(A) at one metre", lo=10, hi=80)


@rule(
    "is-quiet",
    effect=Effect.REPAIR,
    source=OWN_POLICY,
    applies=[where("hum.powered", True)],
    uses=["loudest_dba"],
    words=Words(
        measure="Hum in dB(A) at one metre",
        met="It is quiet enough to hang.",
        unmet="It hums at {value} dB(A); at most {limit} is right.",
        remedy="Ask whoever built it to quieten the motor or its ballast.",
    ),
)
def is_quiet(limits: HumLimits, level: float = fact("hum.level_dba")) -> Check:
    """Is it quiet?

    A sound meter one metre in front of the work; the limit is that of a quiet office at night.
    """
    return at_most(level, limits.loudest_dba, unit="")


CASES = """
[[case]]
name = "a small motor"
kind = "pass"
why = "24 is below 30"
work.hum = { powered = true, level_dba = 24 }
expect.state = "met"

[[case]]
name = "an old ballast"
kind = "fail"
why = "42 is above 30"
work.hum = { powered = true, level_dba = 42 }
expect = { state = "unmet", effect = "repair", measured = 42.0 }

[[case]]
name = "right at the limit"
kind = "edge"
why = "equal passes"
work.hum = { powered = true, level_dba = 30 }
expect.state = "met"

[[case]]
name = "not measured"
kind = "unknown"
why = "the level is missing"
work.hum = { powered = true }
expect = { state = "unknown", missing = ["/hum/level_dba"] }
"""

PACK = RulePack(
    name="hum",
    version="0.3.0",
    title="Sounds",
    rules=[is_quiet],
    cases={"is-quiet": CASES},
    limits=HumLimits,
    sections={"hum": HumFacts},
)


@hookimpl
def hangworthy_rulepack() -> RulePack:
    """Return the pack."""
    return PACK
