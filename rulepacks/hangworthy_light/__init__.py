"""Light: how much a stay may spend, when colours start to fade, and what sun and ultraviolet do."""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import LightFacts, LightWallFacts
from .limits import LightLimits
from .rules import RULES

PACK = RulePack(
    name="light",
    version="1.0.0",
    title="Light and fading",
    rules=RULES,
    limits=LightLimits,
    sections={"light": LightFacts, "wall": LightWallFacts},
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
