"""The committed OpenAPI document: fresh, complete, true to its own examples, and served as it is."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from litestar.testing import TestClient

from api.serving import NEW_ID, NOW, tiny_app, tiny_catalogue
from hangworthy.api import examples
from hangworthy.api.openapi import document, dump, write
from hangworthy.api.problems import KINDS
from hangworthy.app import create_app
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.ruleset import Venue
from hangworthy.settings import Settings

FOLDER = Path(__file__).parents[2] / "openapi"
STALE = "write it anew with hangworthy.api.openapi.write(catalogue, folder), and commit it"
VERBS = ("delete", "get", "post", "put")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return build_catalogue(*discover())


@pytest.fixture(scope="module")
def described(catalogue: Catalogue) -> dict[str, Any]:
    return document(catalogue)


def operations(described: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, verbs in described["paths"].items():
        for verb, operation in verbs.items():
            assert verb in VERBS
            yield path, verb, operation


def test_the_committed_document_is_fresh(described: dict[str, Any]) -> None:
    assert (FOLDER / "openapi.json").read_bytes() == dump(described), STALE


def test_the_committed_examples_are_fresh(catalogue: Catalogue) -> None:
    kept = {path.name: path.read_bytes() for path in (FOLDER / "examples").glob("*.json")}
    assert kept == examples.files(catalogue), STALE


def test_writing_takes_old_examples_away(tmp_path: Path) -> None:
    (tmp_path / "examples").mkdir()
    (tmp_path / "examples" / "old.json").write_text("{}")
    write(tiny_catalogue(), tmp_path)
    assert {path.name for path in tmp_path.glob("*/*.json")} == {"tiny-pass.request.json", "tiny-pass.answer.json"}
    assert json.loads((tmp_path / "openapi.json").read_bytes())["openapi"] == "3.1.0"


def test_it_is_served_unchanged(catalogue: Catalogue) -> None:
    app = create_app(Settings(), catalogue, [Venue(name="default")], clock=lambda: NOW, new_id=lambda: NEW_ID)
    assert TestClient(app).get("/openapi.json").content == (FOLDER / "openapi.json").read_bytes(), STALE


def test_it_is_the_same_each_time(catalogue: Catalogue, described: dict[str, Any]) -> None:
    assert dump(document(catalogue)) == dump(described)


def test_every_operation_is_described(described: dict[str, Any]) -> None:
    names = [operation["operationId"] for _, _, operation in operations(described)]
    assert len(names) == len(set(names))
    for path, verb, operation in operations(described):
        where = f"{verb} {path}"
        assert re.fullmatch(r"[a-z]+[A-Z][A-Za-z]+", operation["operationId"]), where
        assert operation["summary"], where
        assert operation["description"].endswith("."), where
        assert {"200", "400", "405", "422", "500", "503"} <= operation["responses"].keys(), where
        for parameter in operation["parameters"]:
            assert "$ref" in parameter or parameter["description"].endswith("."), where


def test_every_route_is_in_it_and_nothing_else(described: dict[str, Any]) -> None:
    routes = {
        (re.sub(r":str", "", route.path), method.lower())
        for route in tiny_app().routes
        for method in getattr(route, "methods", ())
        if method != "OPTIONS"
    }
    assert {(path, verb) for path, verb, _ in operations(described)} == routes


def test_what_a_key_must_hold_is_stated_as_the_handlers_demand_it(described: dict[str, Any]) -> None:
    demanded = {
        (re.sub(r":str", "", route.path), method.lower()): sorted(handler[0].opt["needs"])
        for route in tiny_app().routes
        for method, handler in getattr(route, "route_handler_map", {}).items()
        if method != "OPTIONS"
    }
    assert {(path, verb): one["x-scopes"] for path, verb, one in operations(described)} == demanded
    for path, verb, one in operations(described):
        assert (one["security"] == []) == (one["x-scopes"] == []), (verb, path)
        assert ({"401", "403"} <= one["responses"].keys()) == (one["x-scopes"] != []), (verb, path)


def test_every_reference_leads_somewhere(described: dict[str, Any]) -> None:
    for reference in references(described):
        node: Any = described
        for step in reference.removeprefix("#/").split("/"):
            node = node[step]
    used = set(references(described))
    for _, _, operation in operations(described):
        used |= {f"#/components/securitySchemes/{name}" for way in operation["security"] for name in way}
    for group, members in described["components"].items():
        for name in members:
            assert f"#/components/{group}/{name}" in used, f"{group} {name} is used nowhere"


def references(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        if isinstance(node.get("$ref"), str):
            yield node["$ref"]
        for value in node.values():
            yield from references(value)
    elif isinstance(node, list):
        for value in node:
            yield from references(value)


def test_every_component_is_described_and_a_sound_schema(described: dict[str, Any]) -> None:
    for name, schema in described["components"]["schemas"].items():
        jsonschema.Draft202012Validator.check_schema(schema)
        assert schema.get("description"), name


def test_every_fact_has_its_title_range_and_unit(catalogue: Catalogue, described: dict[str, Any]) -> None:
    schemas = described["components"]["schemas"]
    for slot in catalogue.schema.slots:
        section, _, name = slot.path.rpartition(".")
        if section in ("venue", "wall"):
            continue
        owner = schemas["Work"] if not section else schemas[section_schema(schemas, section)]
        fact = owner["properties"][name]
        assert fact["title"] == slot.ask.title
        assert fact["x-prompt"] == slot.ask.prompt
        assert fact.get("x-unit", "") == slot.unit
        text = json.dumps(fact)
        for key, bound in (("minimum", slot.ask.lo), ("maximum", slot.ask.hi)):
            if bound is not None:
                assert f'"{key}": {json.dumps(int(bound) if bound == int(bound) else bound)}' in text, slot.path


def section_schema(schemas: dict[str, Any], section: str) -> str:
    way = schemas["Work"]["properties"][section]["anyOf"][0]
    return str(way["$ref"]).rpartition("/")[2]


def test_every_type_of_problem_is_described(described: dict[str, Any]) -> None:
    for kind in KINDS:
        assert kind.type in described["info"]["description"]
        shown = described["components"]["responses"][f"Problem{kind.status}"]["content"]["application/problem+json"]["examples"]
        assert shown[kind.name]["value"]["type"] == kind.type


def test_every_example_keeps_its_schema_and_is_what_the_service_answers(catalogue: Catalogue, described: dict[str, Any]) -> None:
    clients = {}
    for one in catalogue.installed:
        venue = Venue(name="default", packs=(one.pack.name,))
        clients[one.pack.name] = TestClient(create_app(Settings(), catalogue, [venue], clock=lambda: NOW, new_id=lambda: NEW_ID))
    operation = described["paths"]["/evaluations"]["post"]
    asked = operation["requestBody"]["content"]["application/json"]["examples"]
    told = operation["responses"]["200"]["content"]["application/json"]["examples"]
    assert asked
    assert asked.keys() == told.keys()
    for name, one in asked.items():
        check(described, "EvaluationRequest", one["value"])
        check(described, "Evaluation", told[name]["value"])
        answer = clients[name.rpartition("-")[0]].post("/evaluations", json=one["value"]).json()
        assert answer["works"] == told[name]["value"]["works"]
    for response in described["components"]["responses"].values():
        for shown in response["content"]["application/problem+json"]["examples"].values():
            check(described, "Problem", shown["value"])


def check(described: dict[str, Any], name: str, value: Any) -> None:
    root = {"$ref": f"#/components/schemas/{name}", "components": described["components"]}
    jsonschema.Draft202012Validator(root).validate(value)


def test_a_pack_brings_its_facts_into_the_document() -> None:
    schemas = document(tiny_catalogue())["components"]["schemas"]
    assert "tiny" in schemas["Work"]["properties"]
    assert schemas["Tiny"]["properties"]["gap_mm"]["x-unit"] == "mm"


def test_money_may_be_a_number_or_a_text() -> None:
    price = document(tiny_catalogue())["components"]["schemas"]["Work"]["properties"]["price"]
    assert [way["type"] for way in price["anyOf"]] == ["number", "string", "null"]
