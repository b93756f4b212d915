"""The OpenAPI document: made from the composed types, so that every constraint is in it, and owned by us to the last byte."""

import json
from pathlib import Path
from typing import Any

from hangworthy.api import answers, answers_batch, answers_history, answers_plans
from hangworthy.api.examples import examples, files
from hangworthy.api.openapi_venue import venue_content
from hangworthy.api.operation_parts import not_modified, problem_responses, schema
from hangworthy.api.operations import paths
from hangworthy.api.problems import KINDS, Problem, ProblemKind
from hangworthy.contract.finding import Evaluation
from hangworthy.contract.venue import Override
from hangworthy.engine.catalogue import Catalogue
from hangworthy.intake import ReadingsRequest, wire_components
from hangworthy.plans.frames.reading import wire_of as frames_request
from hangworthy.plans.replacement.answers import Replacement
from hangworthy.plans.replacement.request import wire_of as replacement_request
from hangworthy.plans.wall.answers import WallPlan
from hangworthy.plans.wall.request import wire_of as wall_request

VERSION = "1.0.0"
_ANSWERS = (
    answers.PackList, answers.RuleList, answers.RuleAnswer, answers.LimitList, answers.VenueList, answers.VenueAnswer, answers.Live,
    answers.Ready, answers_history.EvaluationList, answers_history.MomentList, answers_history.ChangesAnswer,
    answers_history.ReplayAnswer, answers_history.ErasedAnswer, answers_history.VersionList, answers_batch.BatchAnswer,
    answers_batch.BatchProblem, answers_plans.PlanJobAnswer, WallPlan, Replacement, answers.ReadingsAnswer, ReadingsRequest, Override,
    Problem, ProblemKind,
)  # fmt: skip
_ABOUT = (
    "Send what is known of works that are offered for display; the answer says for each whether it is fit to hang, what to do first, "
    "and why. Absent means not known, never no, and nothing unknown is passed. Rules come from rule packs, which also add sections of "
    "facts to a work."
)
_TAGS = {
    "Evaluation": "Ask about works.",
    "Rules": "What is checked, and with which limits and sources.",
    "History": "What was recorded: read it again, compare it, ask it again, erase it.",
    "Plans": "What goes where, and when, worked out.",
    "Venues": "Where works hang, and what differs there.",
    "Health": "For probes.",
    "About": "This document, and the problems it speaks of.",
}


def document(catalogue: Catalogue) -> dict[str, Any]:
    """Return the OpenAPI 3.1 document for the packs of a catalogue."""
    names = [one.pack.name for one in catalogue.installed]
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "hangworthy",
            "version": VERSION,
            "summary": "Tells a display coordinator whether an artwork is fit to hang, what to do first, and why.",
            "description": f"{_ABOUT}\n\n{_problems_described()}",
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/", "description": "The service that serves this document."}],
        "tags": [{"name": name, "description": text} for name, text in _TAGS.items()],
        "paths": paths(names, examples(catalogue)),
        "components": {
            "schemas": _schemas(catalogue),
            "responses": {**problem_responses(), "NotModified": not_modified()},
            "parameters": {"RequestId": _REQUEST_ID, "IfNoneMatch": _IF_NONE_MATCH},
            "headers": {"RequestId": _REQUEST_ID_BACK, **_HEADERS},
            "securitySchemes": {"ApiKey": _KEY},
        },
    }


def dump(described: dict[str, Any]) -> bytes:
    """Return the document as bytes: indented, sorted, with a newline at its end, so that changes read well."""
    return (json.dumps(described, indent=2, sort_keys=True, ensure_ascii=False) + "\n").encode()


def write(catalogue: Catalogue, folder: Path) -> None:
    """Write ``openapi.json`` and the examples into a folder; examples that are no longer made are taken away."""
    shown = folder / "examples"
    shown.mkdir(parents=True, exist_ok=True)
    made = files(catalogue)
    for old in shown.glob("*.json"):
        if old.name not in made:
            old.unlink()
    for name, content in made.items():
        (shown / name).write_bytes(content)
    (folder / "openapi.json").write_bytes(dump(document(catalogue)))


_REQUEST_ID = {
    "name": "X-Request-Id",
    "in": "header",
    "required": False,
    "description": "Your own id for this request: 1 to 64 letters, digits, points, hyphens, underscores. Anything else is replaced.",
    "schema": {"type": "string"},
}
_IF_NONE_MATCH = {
    "name": "If-None-Match",
    "in": "header",
    "required": False,
    "description": "ETags of what you have, or *; 304 says that one of them is still right. Weak ones count as well.",
    "schema": {"type": "string"},
}
_REQUEST_ID_BACK = {"description": "The id of this request, yours or ours.", "schema": {"type": "string", "minLength": 1, "maxLength": 64}}
_HEADERS = {
    "Allow": {"description": "The methods that this address takes.", "schema": {"type": "string"}},
    "ContentLanguage": {"description": "The language of the texts.", "schema": {"type": "string"}},
    "CacheControl": {
        "description": "no-cache: keep it, but ask again each time; private: it is for this key alone; no-store: do not keep it.",
        "schema": {"type": "string"},
    },
    "ETag": {"description": "The version of what is shown, for If-Match and If-None-Match.", "schema": {"type": "string"}},
    "Link": {"description": "The pages beside this one (RFC 8288), with rel next and prev.", "schema": {"type": "string"}},
    "Location": {"description": "Where it can be read again.", "schema": {"type": "string", "format": "uri-reference"}},
    "RateLimit": {
        "description": "Tokens left, and seconds until all are there again, of the client's address and of the key.",
        "schema": {"type": "string"},
    },
    "RateLimitPolicy": {"description": "How many requests fit into a minute.", "schema": {"type": "string"}},
    "RetryAfter": {"description": "Seconds to wait.", "schema": {"type": "integer", "minimum": 0}},
    "WWWAuthenticate": {"description": "How a key is sent.", "schema": {"type": "string"}},
}
_KEY = {
    "type": "http",
    "scheme": "bearer",
    "description": "A key as `hangworthy keys add` shows it once. Before the first one is made, none is asked for, and only the computer "
    "that the service runs on can reach it. Each operation states under x-scopes which scopes let a key in, one of which is enough; "
    "admin always does. A key may be restricted to venues: others are then not there for it. A key for browsers is public: it only "
    "evaluates, with record=false, from the origins that it was made for, and so often in a minute; beyond that the answer is 429.",
}


def _problems_described() -> str:
    lines = [f"- `{kind.type}` ({kind.status}): {kind.title}. {kind.advice}" for kind in KINDS]
    return "Problems follow RFC 9457. Their types are stable:\n\n" + "\n".join(lines)


def _schemas(catalogue: Catalogue) -> dict[str, Any]:
    """Return every component, those of the composed submission first."""
    wire = catalogue.schema
    requests = (wire.request, frames_request(wire), wall_request(wire), replacement_request(wire))
    made = wire_components((*requests, wire.wall, Evaluation, *_ANSWERS))
    venue = made["VenueAnswer"]["properties"]
    venue["walls"] = {"type": "object", "additionalProperties": schema("WallConditions"), "description": "Walls by name."}
    venue["conditions"] = {**schema("WallConditions"), "description": "What holds wherever a wall does not say otherwise."}
    made |= venue_content(made)
    venue["content"] = schema("VenueContent")
    problem = made["Problem"]["properties"]
    problem["type"] |= {
        "format": "uri-reference",
        "enum": [kind.type for kind in KINDS],
        "x-enum-varnames": [kind.name.replace("-", "_").upper() for kind in KINDS],  # else clients call them by numbers
    }
    problem["status"] |= {"enum": sorted({kind.status for kind in KINDS})}
    problem["instance"] |= {"format": "uri"}
    made["Evaluation"]["properties"]["id"] |= {"description": "There when the evaluation was recorded."}
    made["Evaluation"]["properties"]["evaluated_at"] |= {"description": "UTC, whole seconds."}
    made["Evaluation"]["properties"]["evaluated_at"]["anyOf"][0] |= {"format": "date-time"}
    for one in made.values():
        _tell_defaults(one)
    return made


def _tell_defaults(component: dict[str, Any]) -> None:
    """Say in words what a field that is left out means, in place.

    Makers of typed clients take a field with a default for one that is always there, and ours are left out of answers.
    """
    for field in component.get("properties", {}).values():
        default = field.pop("default", None)
        if default not in (None, "", [], {}):
            told = f"Left out, it is {json.dumps(default)}."
            field["description"] = f"{field['description']} {told}" if "description" in field else told
