"""The parts that operations of the OpenAPI document are made of: parameters, answers, problems, links."""

from typing import Any

from hangworthy.api.access import ANY_KEY, ANYBODY
from hangworthy.api.bounds import LONGEST_KEY, key_pattern
from hangworthy.api.problems import KINDS, PROBLEM_JSON, Kind
from hangworthy.history.port import Scope

Json = dict[str, Any]
ID = {"$ref": "#/components/parameters/RequestId"}
IF_NONE_MATCH = {"$ref": "#/components/parameters/IfNoneMatch"}
ID_HEADER = {"X-Request-Id": {"$ref": "#/components/headers/RequestId"}}
_ALWAYS = (400, 405, 500, 503)
_HEADERS = {
    401: ("WWW-Authenticate",),
    405: ("Allow",),
    409: ("Retry-After",),
    429: ("Retry-After", "RateLimit", "RateLimit-Policy"),
    503: ("Retry-After",),
}


def schema(name: str) -> Json:
    """Return a reference to a component."""
    return {"$ref": f"#/components/schemas/{name}"}


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
            "headers": dict(ID_HEADER),
            "content": {PROBLEM_JSON: {"schema": schema("Problem"), "examples": {kind.name: {"value": _shown(kind)} for kind in kinds}}},
        }
        for name in _HEADERS.get(status, ()):
            one["headers"][name] = {"$ref": f"#/components/headers/{name.replace('-', '')}"}
        made[response_name(status)] = one
    return made


def not_modified() -> Json:
    """Return the answer to whoever has the bytes already."""
    named = {name: {"$ref": f"#/components/headers/{name.replace('-', '')}"} for name in ("ETag", "Cache-Control")}
    return {"description": "It is as you have it.", "headers": {**ID_HEADER, **named}}


_ERRORS = {
    "invalid-facts": ("/works/0/width_mm", "", '“9 kg” is a weight, but this is a length: please write "61 cm" or 610.'),
    "invalid-query": ("", "record", "The query parameter record must be true or false, in small letters."),
    "malformed-body": ("", "", "This is not JSON at line 1, column 8. Is there a comma too many before it?"),
}


def _shown(kind: Kind) -> Json:
    made: Json = {"type": kind.type, "title": kind.title, "status": kind.status, "detail": kind.advice}
    made["instance"] = "urn:uuid:7f4c1a7e-5d0b-4c8e-9a53-2f6f0c3b8d11"
    if kind.name in _ERRORS:
        pointer, named, message = _ERRORS[kind.name]
        made["errors"] = [{"pointer": pointer, "message": message} | ({"parameter": named} if named else {})]
    return made


def responses(description: str, content: Json, *statuses: int, success: int = 200, headers: tuple[str, ...] = ()) -> Json:
    """Return the answers of an operation: the good one, and the problems of these statuses beside those that every one may have."""
    named = {name: {"$ref": f"#/components/headers/{name.replace('-', '')}"} for name in headers}
    made: Json = {str(success): {"description": description, "headers": {**ID_HEADER, **named}, "content": content}}
    return made | {str(status): {"$ref": f"#/components/responses/{response_name(status)}"} for status in sorted({*_ALWAYS, *statuses})}


def access(needs: tuple[Scope, ...]) -> Json:
    """Return what an operation says about keys. They are only asked for once the first one was made, so that none is possible too."""
    if needs == ANYBODY:
        return {"security": [], "x-scopes": []}
    return {"security": [{"ApiKey": []}, {}], "x-scopes": sorted(needs)}


def get(
    name: str,
    summary: str,
    description: str,
    answer: str,
    tag: str,
    *statuses: int,
    parameters: tuple[Json, ...] = (),
    needs: tuple[Scope, ...] = ANY_KEY,
    headers: tuple[str, ...] = (),
    volatile: bool = False,
) -> Json:
    """Return an operation that reads; the problems of a key are added where one is needed, and the entity tag where there is one."""
    content = {"application/json": {"schema": schema(answer)}}
    keyed = () if needs == ANYBODY else (401, 403)
    matching = () if volatile else (IF_NONE_MATCH,)
    told = responses(f"{summary}.", content, 422, *keyed, *statuses, headers=(*headers, *(() if volatile else ("ETag",)), "Cache-Control"))
    return {
        "operationId": name, "summary": summary, "description": description, "tags": [tag], "parameters": [*parameters, *matching, ID],
        "responses": told if volatile else told | {"304": {"$ref": "#/components/responses/NotModified"}}, **access(needs),
    }  # fmt: skip


def parameter(name: str, place: str, description: str, content: Json, **more: Any) -> Json:
    """Return a parameter; those in the path are required."""
    return {"name": name, "in": place, "required": place == "path", "description": description, "schema": content, **more}


RECORD = parameter(
    "record", "query", "Whether to record what is evaluated. It is, where there is a history; true is refused where there is none.",
    {"enum": ["true", "false"]},
)  # fmt: skip
_KEY: Json = {"type": "string", "pattern": key_pattern(LONGEST_KEY)}
IDEMPOTENCY = parameter(
    "Idempotency-Key", "header", "Your own key for this request: sent again with the same body, it gets the same answer and is recorded "
    "once. In quotation marks or without.", _KEY,
)  # fmt: skip
NAME: Json = {"type": "string", "minLength": 1, "maxLength": 80}
NOT_DOTS = r"^(?!\.{1,2}$)"  # a step of an address that is one or two points alone is taken out of it by every client (RFC 3986, 5.2.4)


def link(operation: str, **parameters: str) -> Json:
    """Return a link to another operation (OpenAPI, Link Object)."""
    return {"operationId": operation, "parameters": parameters}
