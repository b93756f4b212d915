"""Panes in front of works: clean, whole, safe above people, not too heavy, with room to move, off the work, quiet in the light."""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import MoreGlazingFacts, MoreWallFacts
from .limits import GlazingLimits
from .rules import RULES

PACK = RulePack(
    name="glazing",
    version="1.0.0",
    title="Glazing",
    rules=RULES,
    limits=GlazingLimits,
    sections={"glazing": MoreGlazingFacts, "wall": MoreWallFacts},
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
