"""Works on paper: which frame takes the sheet, what may be cropped, how it travels, and what touches it."""

from importlib.resources import files

import hangworthy_handbook
from hangworthy.contract import RulePack, hookimpl

from . import formulas
from .facts import PaperFacts
from .fits import fits
from .limits import PaperLimits
from .rules import RULES

PACK = RulePack(
    name="paper",
    version="1.0.0",
    title="Works on paper",
    rules=RULES,
    limits=PaperLimits,
    sections={"paper": PaperFacts},
    cases=files(__name__) / "cases",
    published=files(__name__) / "published.toml",
    formulas=formulas,
    fits=fits,
    relies_on=[hangworthy_handbook],
)


@hookimpl
def hangworthy_rulepack() -> RulePack:
    """Return the pack."""
    return PACK
