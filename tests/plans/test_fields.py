"""The readers and the document say the same: every field of one is in the other, and what the schema refuses is refused."""

from typing import Any

import jsonschema
import pytest

from hangworthy.contract import Means
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.intake import BadInput, Intake, wire_schema
from hangworthy.plans.asked import Figures
from hangworthy.plans.replacement import request as replacement
from hangworthy.plans.wall import request as wall

CATALOGUE = build_catalogue(*discover())
PLACE = CATALOGUE.schema.wall(width_mm=4000.0, height_mm=2600.0)
EVALUATOR = Evaluator(Ruleset(CATALOGUE, Venue(name="house", walls={"north": PLACE})))
WORK = {"ref": "a", "framed": False, "width_mm": 400, "height_mm": 300}
GOOD: dict[Any, dict[str, Any]] = {
    wall: {"works": [WORK], "wall_name": "north", "obstacles": [{"name": "x", "left_mm": 5, "width_mm": 5, "height_mm": 5}]},
    replacement: {"candidates": [WORK], "wall_name": "north", "place": {"width_mm": 900, "height_mm": "1 m"}},
}
VALUES: list[Any] = [
    None,
    0,
    -1,
    1.5,
    10**400,
    "",
    "x",
    "9 kg",
    "1 m",
    "x" * 81,
    True,
    [],
    [[]],
    [1],
    {},
    {"x": 1},
    "2026-02-30",
    "2026-02-03",
]


def accepted(module: Any, body: Any) -> bool:
    import msgspec

    intake = Intake(CATALOGUE.schema, {"house": EVALUATOR}, "house")
    try:
        module.Reader(intake, {"house": EVALUATOR}, "house").read(msgspec.json.encode(body))
    except (BadInput, OverflowError):
        return False
    return True


def paths(module: Any) -> list[tuple[str, ...]]:
    names = wire_schema(module.wire_of(CATALOGUE.schema))["$defs"]
    top = next(one for name, one in names.items() if name.endswith("Request"))
    inner = {"wall": "WallMeasures", "place": "PlaceAsked"}
    return [(name,) for name in top["properties"]] + [
        (name, each) for name, kind in inner.items() if name in top["properties"] for each in names[kind]["properties"]
    ]


@pytest.mark.parametrize("module", [wall, replacement], ids=lambda one: one.__name__.split(".")[-2])
def test_what_the_schema_refuses_is_refused_and_never_breaks_the_reader(module: Any) -> None:
    schema = wire_schema(module.wire_of(CATALOGUE.schema))
    assert accepted(module, GOOD[module])
    assert jsonschema.Draft202012Validator(schema).is_valid(GOOD[module])
    refused = 0
    for path in paths(module):
        for value in VALUES:
            body = {**GOOD[module]}
            if len(path) == 2:
                body[path[0]] = {**(body.get(path[0]) or {"width_mm": 900, "height_mm": 900}), path[1]: value}
            else:
                body[path[0]] = value
            if value == 10**400:
                continue  # a number beyond JSON encoders; the tables over HTTP send it as text
            if not jsonschema.Draft202012Validator(schema).is_valid(body):
                refused += 1
                assert not accepted(module, body), (path, value)
            else:
                accepted(module, body)
    assert refused > 50
    assert not accepted(module, {**GOOD[module], "more": 1})


def test_figures_are_the_limits_in_force_and_none_is_needed() -> None:
    """The defaults of the pack that declares them; without any pack, what the plan takes as usual."""
    figures = Figures(EVALUATOR.ruleset)
    assert figures.limit(Means.CENTRE_HEIGHT, 0) == 1450
    assert figures.limit(Means.ONE_HOOK_KG, 0) == 10
    bare = Figures(Ruleset(build_catalogue([]), Venue(name="bare")))
    assert bare.limit(Means.CENTRE_HEIGHT, 1500) == 1500
    assert bare.facts == {}


def test_every_meaning_is_declared_by_some_pack() -> None:
    declared = {limit.means for one in CATALOGUE.installed for limit in one.pack.limits.declared.values()}
    declared |= {slot.ask.means for slot in CATALOGUE.schema.slots}
    assert set(Means) <= declared
