"""Stretched canvases: do they sit flush and taut, are their bars sound, and has the paint dried?"""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import CanvasFacts
from .limits import CanvasLimits
from .rules import RULES

PACK = RulePack(
    name="canvas",
    version="1.0.0",
    title="Stretched canvases",
    rules=RULES,
    limits=CanvasLimits,
    sections={"canvas": CanvasFacts},
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
