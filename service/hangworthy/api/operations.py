"""The operations of the API as the OpenAPI document states them."""

from typing import Any

from hangworthy.api.examples import Example
from hangworthy.api.problems import KINDS, MALFORMED, NOT_FOUND, PROBLEM_JSON, Kind

Json = dict[str, Any]
_ID = {"$ref": "#/components/parameters/RequestId"}
_ID_HEADER = {"X-Request-Id": {"$ref": "#/components/headers/RequestId"}}
_ALWAYS = (400, 405, 500, 503)


def schema(name: str) -> Json:
    """Return a reference to a component."""
    return {"$ref": f"#/components/schemas/{name}"}


def paths(pack_names: list[str], shown: list[Example]) -> Json:
    """Return all paths. ``pack_names`` are those installed; ``shown`` the examples of an evaluation."""
    return {
        "/": {"get": _page()},
        "/evaluations": {"post": _evaluate(shown)},
        "/health/live": {"get": _get("checkLive", "Say that the service runs", _LIVE, "Live", "Health")},
        "/health/ready": {"get": _get("checkReady", "Say what the service answers with", _READY, "Ready", "Health")},
        "/limits": {"get": _limits()},
        "/openapi.json": {"get": _document()},
        "/packs": {"get": _get("listPacks", "List the rule packs", _PACKS, "PackList", "Rules")},
        "/problems/{name}": {"get": _problem()},
        "/rules": {"get": _rules(pack_names)},
        "/rules/{code}": {"get": _rule()},
        "/venues": {"get": _venues()},
        "/venues/{name}": {"get": _venue()},
    }  # fmt: skip


_LIVE = "For probes: no pack or venue is looked at."
_PACKS = "Name, version, fingerprint, rules and sections of each."
_READY = "Packs at fault are listed; the status is then “degraded”, and every outcome stays unsettled. The code is 200 either way."


def response_name(kind_status: int) -> str:
    """Return the name of the component that answers with a status."""
    return f"Problem{kind_status}"


def problem_responses() -> Json:
    """Return one response for each status that a problem can have, with an example of every kind."""
    made: Json = {}
    for status in sorted({kind.status for kind in KINDS}):
        kinds = [kind for kind in KINDS if kind.status == status]
        one: Json = {
            "description": "; ".join(kind.title for kind in kinds) + ".",
            "headers": dict(_ID_HEADER),
            "content": {PROBLEM_JSON: {"schema": schema("Problem"), "examples": {kind.name: {"value": _shown(kind)} for kind in kinds}}},
        }
        if status == 405:
            one["headers"]["Allow"] = {"$ref": "#/components/headers/Allow"}
        made[response_name(status)] = one
    return made


_ERRORS = {
    "invalid-facts": ("/works/0/width_mm", '“9 kg” is a weight, but this is a length: please write "61 cm" or 610.'),
    "invalid-query": ("", "The query parameter record must be true or false, in small letters."),
    "malformed-body": ("", "This is not JSON at line 1, column 8. Is there a comma too many before it?"),
}


def _shown(kind: Kind) -> Json:
    made: Json = {"type": kind.type, "title": kind.title, "status": kind.status, "detail": kind.advice}
    made["instance"] = "urn:uuid:7f4c1a7e-5d0b-4c8e-9a53-2f6f0c3b8d11"
    if kind.name in _ERRORS:
        pointer, message = _ERRORS[kind.name]
        made["errors"] = [{"pointer": pointer, "message": message}]
    return made


def _responses(description: str, content: Json, *statuses: int) -> Json:
    made: Json = {"200": {"description": description, "headers": _ID_HEADER, "content": content}}
    return made | {str(status): {"$ref": f"#/components/responses/{response_name(status)}"} for status in sorted({*_ALWAYS, *statuses})}


def _get(name: str, summary: str, description: str, answer: str, tag: str, *statuses: int, parameters: tuple[Json, ...] = ()) -> Json:
    content = {"application/json": {"schema": schema(answer)}}
    return {
        "operationId": name, "summary": summary, "description": description, "tags": [tag], "parameters": [*parameters, _ID],
        "responses": _responses(f"{summary}.", content, 422, *statuses),
    }  # fmt: skip


def _parameter(name: str, place: str, description: str, content: Json, **more: Any) -> Json:
    return {"name": name, "in": place, "required": place == "path", "description": description, "schema": content, **more}


_NAME: Json = {"type": "string", "minLength": 1, "maxLength": 80}


def _evaluate(shown: list[Example]) -> Json:
    record = _parameter(
        "record", "query", "Whether to keep the evaluation. This service keeps no history, so only false is possible.", {"const": "false"}
    )  # fmt: skip
    asked = {one.name: {"summary": one.summary, "value": one.request} for one in shown}
    told = {one.name: {"summary": one.summary, "value": one.answer} for one in shown}
    request: Json = {"schema": schema("EvaluationRequest")} | ({"examples": asked} if asked else {})
    answer: Json = {"schema": schema("Evaluation")} | ({"examples": told} if told else {})
    return {
        "operationId": "evaluateWorks",
        "summary": "Evaluate works",
        "description": "Tells for each work, in the order given, whether it is fit to hang, what to do first, and why. Facts that are not "
        "known are left out: the answer says how bad it could become, and which questions would settle it. Quantities are numbers in "
        "the unit at the end of the name, or texts with their own unit and uncertainty. Every fault in a request is listed at once.",
        "tags": ["Evaluation"],
        "parameters": [record, _ID],
        "requestBody": {"required": True, "description": "One to 500 works.", "content": {"application/json": request}},
        "responses": _responses("The findings, outcomes and open questions.", {"application/json": answer}, 413, 415, 422),
    }


def _rules(pack_names: list[str]) -> Json:
    choices: Json = {"type": "string", "enum": pack_names} if pack_names else dict(_NAME)
    made = _get(
        "listRules", "List the rules", "Code, question, effects and facts of each rule.", "RuleList", "Rules",
        parameters=(_parameter("pack", "query", "Only the rules of this pack.", choices),),
    )  # fmt: skip
    made["responses"]["200"]["links"] = {"firstRule": _link("showRule", code="$response.body#/items/0/code")}
    return made


def _link(operation: str, **parameters: str) -> Json:
    return {"operationId": operation, "parameters": parameters}


def _rule() -> Json:
    code = _parameter("code", "path", "The rule's code, as findings state it: pack, point, name.", {"type": "string", "minLength": 1})
    description = "Its question and explanation, ways of measuring, facts, limits, effects, source and test cases."
    return _get("showRule", "Show one rule", description, "RuleAnswer", "Rules", NOT_FOUND.status, parameters=(code,))


def _limits() -> Json:
    venue = _parameter("venue", "query", "The venue whose limits to list; without it, the default venue.", _NAME)
    description = "Value in force, default, range, unit and source of each limit; and the reason where the venue differs."
    return _get("listLimits", "List the limits in force", description, "LimitList", "Venues", NOT_FOUND.status, parameters=(venue,))


def _venues() -> Json:
    made = _get("listVenues", "List the venues", "The default one comes first.", "VenueList", "Venues")
    made["responses"]["200"]["links"] = {
        "firstVenue": _link("showVenue", name="$response.body#/items/0/name"),
        "itsLimits": _link("listLimits", venue="$response.body#/items/0/name"),
    }
    return made


def _venue() -> Json:
    name = _parameter("name", "path", "The venue's name.", _NAME)
    description = "Its packs, the limits it overrides with the reason for each, walls, conditions and frame stock."
    return _get("showVenue", "Show one venue", description, "VenueAnswer", "Venues", NOT_FOUND.status, parameters=(name,))


def _problem() -> Json:
    name = _parameter("name", "path", "The last part of a problem's type.", {"type": "string", "minLength": 1}, example=MALFORMED.name)
    description = "What a problem's type means and what to do about it."
    return _get("explainProblem", "Explain a type of problem", description, "ProblemKind", "About", NOT_FOUND.status, parameters=(name,))


def _document() -> Json:
    made = _get("showDocument", "Show this document", "OpenAPI 3.1, made for the packs that are installed.", "Live", "About")
    made["responses"]["200"]["content"] = {"application/json": {"schema": {"type": "object"}}}
    return made


def _page() -> Json:
    made = _get("showPage", "Show the page for people", "The same as this document, to read.", "Live", "About")
    made["responses"]["200"]["content"] = {"text/html": {"schema": {"type": "string"}}}
    return made
