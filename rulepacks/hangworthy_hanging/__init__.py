"""Hanging: weight, fittings, wire, wall and height; what carries a work, where its hooks go, and who lifts it."""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import HangingFacts, HangingWallFacts
from .limits import HangingLimits
from .rules import RULES

PACK = RulePack(
    name="hanging",
    version="1.0.0",
    title="Fittings, load and height",
    rules=RULES,
    limits=HangingLimits,
    sections={"hanging": HangingFacts, "wall": HangingWallFacts},
    cases=files(__name__) / "cases",
    texts=files(__name__),
    published=files(__name__) / "published.toml",
    formulas=formulas,
    relies_on=[hangworthy_handbook],
)


@hookimpl
def hangworthy_rulepack() -> RulePack:
    """Return the pack."""
    return PACK
