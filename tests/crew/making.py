"""A small service's worth for tests of the crew: the canvas pack, a venue, and bodies to evaluate."""

import json
from datetime import UTC, datetime
from functools import cache
from typing import Any

from hangworthy.contract import Override
from hangworthy.crew import Setup, setup_of
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.languages import with_languages
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.intake import Intake
from hangworthy.venues import stamped

AT = datetime(2031, 5, 6, 7, 8, 9, 123456, tzinfo=UTC)
PACKS = ("canvas",)
SECONDS = 60.0  # to load the packs


@cache
def catalogue() -> Catalogue:
    installed, faults = discover(PACKS, load_seconds=SECONDS)
    return with_languages(build_catalogue(installed, faults))


def setup(**changed: Any) -> Setup:
    made = setup_of(catalogue(), PACKS, SECONDS)
    return Setup(**{name: changed.get(name, getattr(made, name)) for name in made.__struct_fields__})


def intake(*more: Venue, keep: int = 64) -> Intake:
    """One that knows a house and an annexe, whose limits differ, and what else is given."""
    limits = {"canvas.billow_mm_per_m": Override(value=4.5, reason="The light falls along this wall.")}
    venues = (Venue(name="house"), Venue(name="annexe", version=4, limits=limits), *more)
    evaluators = {one.name: Evaluator(Ruleset(catalogue(), stamped(one)), keep) for one in venues}
    return Intake(catalogue().schema, evaluators, "house")


def body(ref: str, venue: str | None = None, **facts: Any) -> bytes:
    work = {"ref": ref, "kind": "stretched-canvas", "width_mm": 900, "height_mm": 600, **facts}
    return json.dumps({"works": [work]} | ({} if venue is None else {"venue": venue})).encode()
