"""Editions: originals, prints and reproductions, their numbers and their prices, one work at a time and beside each other."""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import EditionFacts, EditionWallFacts
from .limits import EditionLimits
from .rules import RULES

PACK = RulePack(
    name="editions",
    version="1.0.0",
    title="Originals, prints and reproductions",
    rules=RULES,
    limits=EditionLimits,
    sections={"editions": EditionFacts, "wall": EditionWallFacts},
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
