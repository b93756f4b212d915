"""The operations of the API as the OpenAPI document states them."""

from hangworthy.api.access import ANYBODY, EVALUATE, READ
from hangworthy.api.examples import Example
from hangworthy.api.operation_parts import ID, IDEMPOTENCY, NAME, NOT_DOTS, RECORD, Json, access, get, link, parameter, responses, schema
from hangworthy.api.operations_batch import evaluate_batch
from hangworthy.api.operations_form import form_paths
from hangworthy.api.operations_hints import hints_operation
from hangworthy.api.operations_history import history_paths
from hangworthy.api.operations_plans import plan_paths
from hangworthy.api.problems import MALFORMED, NOT_FOUND


def paths(pack_names: list[str], shown: list[Example]) -> Json:
    """Return all paths. ``pack_names`` are those installed; ``shown`` the examples of an evaluation."""
    own = {
        "/": {"get": _page()},
        "/evaluations": {"post": _evaluate(shown)},
        "/evaluations/batch": {"post": evaluate_batch()},
        "/form/hints.js": {"get": hints_operation()},
        "/health/live": {"get": get("checkLive", "Say that the service runs", _LIVE, "Live", "Health", needs=ANYBODY, volatile=True)},
        "/health/ready": {"get": get("checkReady", "Say what it answers with", _READY, "Ready", "Health", needs=ANYBODY, volatile=True)},
        "/limits": {"get": _limits()},
        "/metrics": {"get": _metrics()},
        "/openapi.json": {"get": _document()},
        "/packs": {"get": get("listPacks", "List the rule packs", _PACKS, "PackList", "Rules")},
        "/problems/{name}": {"get": _problem()},
        "/readings": {"post": _read()},
        "/rules": {"get": _rules(pack_names)},
        "/rules/{code}": {"get": _rule()},
        "/venues": {"get": _venues()},
        "/venues/{name}": {"get": _venue()},
    }  # fmt: skip
    for path, verbs in (form_paths() | history_paths() | plan_paths()).items():
        own[path] = own.get(path, {}) | verbs
    return dict(sorted(own.items()))


_LIVE = "For probes: no pack or venue is looked at."
_PACKS = "Name, version, fingerprint, rules and sections of each."
_READY = "Packs at fault are listed; the status is then “degraded”, and every outcome stays unsettled. The code is 200 either way."


_ASKED = (
    "Tells for each work, in the order given, whether it is fit to hang, what to do first, and why. Facts that are not known are left "
    "out: the answer says how bad it could become, and which questions would settle it. Quantities are numbers in the unit at the end of "
    "the name, or texts with their own unit and uncertainty. Every fault in a request is listed at once. Where the service keeps a "
    "history, the evaluation is recorded before it is answered, unless record=false is sent."
)


def _evaluate(shown: list[Example]) -> Json:
    asked = {one.name: {"summary": one.summary, "value": one.request} for one in shown}
    told = {one.name: {"summary": one.summary, "value": one.answer} for one in shown}
    request: Json = {"schema": schema("EvaluationRequest")} | ({"examples": asked} if asked else {})
    answer: Json = {"schema": schema("Evaluation")} | ({"examples": told} if told else {})
    problems = (401, 403, 409, 413, 415, 422, 429, 507)
    made = responses("The findings, outcomes and open questions.", {"application/json": answer}, *problems)
    recorded = "The same, recorded: the answer has an id, and Location leads to it."
    kept = responses(recorded, {"application/json": {"schema": schema("Evaluation")}}, success=201, headers=("Location",))["201"]
    id_ = "$response.body#/id"
    kept["links"] = {
        "again": link("showEvaluation", id=id_),
        "replay": link("replayEvaluation", id=id_),
        "noChange": link("showChanges", id=id_, since=id_),
        "life": link("showLife", ref="$response.body#/works/0/ref"),
        "erasure": link("eraseWork", ref="$response.body#/works/0/ref"),
    }
    return {
        "operationId": "evaluateWorks",
        "summary": "Evaluate works",
        "description": _ASKED,
        "tags": ["Evaluation"],
        "parameters": [RECORD, IDEMPOTENCY, ID],
        "requestBody": {"required": True, "description": "One to 500 works.", "content": {"application/json": request}},
        "responses": made | {"201": kept},
        **access(EVALUATE),
    }


_READ = (
    "Turns lines of dimensions, medium and edition, as artists and museums write them, into facts: each with the text it came from, its "
    "place, the rule that decided and a confidence. What can be read in two ways is asked, never guessed. Nothing is kept. The same texts "
    "may come with a work to evaluate, as “as_written”."
)


def _read() -> Json:
    line = {"dimensions": "Image 30 x 40 cm, sheet 50 x 60 cm (h x w)", "medium": "Screenprint on paper", "edition": "ed. 12/50"}
    request = {"schema": schema("ReadingsRequest"), "examples": {"print": {"summary": "A print", "value": {"lines": [line]}}}}
    answer: Json = {"application/json": {"schema": schema("ReadingsAnswer")}}
    return {
        "operationId": "readTexts",
        "summary": "Read free text into facts",
        "description": _READ,
        "tags": ["Evaluation"],
        "parameters": [ID],
        "requestBody": {"required": True, "description": "One to 500 lines.", "content": {"application/json": request}},
        "responses": responses("The facts, and what must be asked.", answer, 401, 403, 413, 415, 422),
        **access(EVALUATE),
    }


def _metrics() -> Json:
    description = "For Prometheus: requests by route and status, durations, evaluations by outcome, the queue; of this process, no facts."
    made = get("showMetrics", "Show the figures", description, "Live", "Health", needs=READ, volatile=True)
    made["responses"]["200"]["content"] = {"text/plain": {"schema": {"type": "string"}}}
    return made


def _rules(pack_names: list[str]) -> Json:
    choices: Json = {"type": "string", "enum": pack_names} if pack_names else dict(NAME)
    made = get(
        "listRules", "List the rules", "Code, question, effects and facts of each rule.", "RuleList", "Rules",
        parameters=(parameter("pack", "query", "Only the rules of this pack.", choices),),
    )  # fmt: skip
    made["responses"]["200"]["links"] = {"firstRule": link("showRule", code="$response.body#/items/0/code")}
    return made


def _rule() -> Json:
    code = parameter("code", "path", "The rule's code, as findings state it: pack, point, name.", {"type": "string", "minLength": 1})
    description = "Its question and explanation, ways of measuring, facts, limits, effects, source and test cases."
    return get("showRule", "Show one rule", description, "RuleAnswer", "Rules", NOT_FOUND.status, parameters=(code,))


def _limits() -> Json:
    venue = parameter("venue", "query", "The venue whose limits to list; without it, the default venue.", NAME)
    description = "Value in force, default, range, unit and source of each limit; and the reason where the venue differs."
    return get("listLimits", "List the limits in force", description, "LimitList", "Venues", NOT_FOUND.status, parameters=(venue,))


def _venues() -> Json:
    made = get("listVenues", "List the venues", "The default one comes first.", "VenueList", "Venues")
    made["responses"]["200"]["links"] = {
        "firstVenue": link("showVenue", name="$response.body#/items/0/name"),
        "itsLimits": link("listLimits", venue="$response.body#/items/0/name"),
    }
    return made


def _venue() -> Json:
    name = parameter("name", "path", "The venue's name.", {**NAME, "pattern": NOT_DOTS})
    version = parameter(
        "version", "query", "An earlier version; without it, the one in force.", {"type": "integer", "minimum": 1, "maximum": 999_999_999}
    )
    description = (
        "Its packs, the limits it overrides with the reason for each, walls, conditions and frame stock; and all of it as PUT takes it."
    )
    made = get("showVenue", "Show one venue", description, "VenueAnswer", "Venues", NOT_FOUND.status, parameters=(name, version))
    made["responses"]["200"]["links"] = {"itsVersions": link("listVersions", name="$response.body#/name")}
    return made


def _problem() -> Json:
    name = parameter("name", "path", "The last part of a problem's type.", {"type": "string", "minLength": 1}, example=MALFORMED.name)
    description = "What a problem's type means and what to do about it."
    return get(
        "explainProblem",
        "Explain a type of problem",
        description,
        "ProblemKind",
        "About",
        NOT_FOUND.status,
        parameters=(name,),
        needs=ANYBODY,
    )


def _document() -> Json:
    made = get("showDocument", "Show this document", "OpenAPI 3.1, made for the packs that are installed.", "Live", "About", needs=ANYBODY)
    made["responses"]["200"]["content"] = {"application/json": {"schema": {"type": "object"}}}
    return made


def _page() -> Json:
    made = get("showPage", "Show the page for people", "The same as this document, to read.", "Live", "About", needs=ANYBODY)
    made["responses"]["200"]["content"] = {"text/html": {"schema": {"type": "string"}}}
    return made
