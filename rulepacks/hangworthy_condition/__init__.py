"""Condition: is it clean, whole, dry and free of mould, insects and broken glass, and is it as it was declared?"""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import ConditionFacts
from .limits import ConditionLimits
from .rules import RULES

PACK = RulePack(
    name="condition",
    version="1.0.0",
    title="Condition",
    rules=RULES,
    limits=ConditionLimits,
    sections={"condition": ConditionFacts},
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
