"""The order in which a work is made ready, and the tools it takes: fixed words, so that a sheet can sort and name them."""

from enum import StrEnum
from typing import Literal


class Step(StrEnum):
    """When the remedy of a rule comes: hazards are isolated before anything is touched, dirt goes before damage is mended, and so on."""

    ISOLATE = "isolate"
    CLEAN = "clean"
    DRY = "dry"
    MEND = "mend"
    FIT = "fit"
    PAPERS = "papers"
    HANG = "hang"  # not the artist's: what the programme does at the wall; such remedies say “We …”


Tool = Literal[
    "steel-tape",
    "steel-rule",
    "straightedge",
    "flat-table",
    "feeler-gauges",
    "caliper",
    "scale",
    "torch",
    "soft-brush",
    "dust-cloth",
    "glass-cloth",
    "hygrometer",
    "gloves",
    "mask",
    "tissue",
    "screwdriver",
    "hammer",
    "pliers",
    "dark-paper",
    "ph-pen",
    "tweezers",
    "plastic-bag",
]
