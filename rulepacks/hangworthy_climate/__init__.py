"""Climate: is the air right for the work, does the wall get damp, and how far do wood and paper move?"""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import ClimateFacts, ClimateWallFacts
from .limits import ClimateLimits
from .rules import RULES

PACK = RulePack(
    name="climate",
    version="1.0.0",
    title="Climate of the place",
    rules=RULES,
    limits=ClimateLimits,
    sections={"climate": ClimateFacts, "wall": ClimateWallFacts},
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
