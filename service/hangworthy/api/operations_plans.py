"""The operations of plans, as the OpenAPI document states them."""

from hangworthy.api.access import EVALUATE, FOLLOW_PLANS
from hangworthy.api.operation_parts import ID, Json, access, get, link, parameter, responses, schema

_FRAMES = (
    "Shares the stock frames out among works that hang from one day to another: the most works hang (by weight, where weights are given), "
    "then the least image is lost, then the least frame is wasted, then the least is changed against an earlier plan. Each is proven, or "
    "the answer says how far it may be from the best. For each work that stays out it says what would free it, and for each size what one "
    "more frame would bring. Rule packs say into which frames a work goes, by the same facts as in an evaluation. A plan of many works is "
    "made in the background where the service keeps a history: 202, and Location leads to it."
)
_WALL = (
    "Says where each work hangs on one wall, and where its hooks go, in whole millimetres that add up. Works hang in a row, or in several, "
    "about one height, on a common middle, upper or lower edge; doors, switches and furniture are kept clear of. The narrowest gap is as "
    "wide as it can be, and the answer says whether that is proven. Where the works do not fit, it says by how many millimetres, and what "
    "would free it. Send Accept: image/svg+xml for the drawing. Nothing is kept. Weights, fixings and what runs in the wall: local codes "
    "and licensed practice decide."
)
_REPLACEMENT = (
    "A work drops out: which of the candidates could hang in its place? Each is asked about at that wall, beside the works that stay. "
    "Those that are fit are ranked by what they are now and at worst, then by how little they use up for good, as of light; with reasons. "
    "Of every other it says why not, by rule. The order of the request does not matter. Nothing is kept."
)
_ID = parameter("id", "path", "The plan's id.", {"type": "string", "minLength": 1})


def plan_paths() -> Json:
    """Return the paths."""
    plan = {"application/json": {"schema": schema("WallPlan")}, "image/svg+xml": {"schema": {"type": "string"}}}
    chosen = {"application/json": {"schema": schema("Replacement")}}
    return {
        "/plans/frames": {"post": _frames()},
        "/plans/wall": {"post": _at_once("makeWallPlan", "Plan a wall", _WALL, "WallPlanRequest", plan)},
        "/plans/replacement": {"post": _at_once("chooseReplacement", "Choose a replacement", _REPLACEMENT, "ReplacementRequest", chosen)},
        "/plans/{id}": {"get": _show(), "delete": _cancel()},
    }


def _frames() -> Json:
    answer = {"application/json": {"schema": schema("FramePlan")}}
    job = {"application/json": {"schema": schema("PlanJobAnswer")}}
    made = responses("The plan.", answer, 401, 403, 413, 415, 422, 507)
    later = responses("The plan is made in the background.", job, success=202, headers=("Location", "Retry-After"))["202"]
    later["links"] = {"follow": link("showPlan", id="$response.body#/id"), "cancel": link("cancelPlan", id="$response.body#/id")}
    return {
        "operationId": "planFrames", "summary": "Share out the frames", "description": _FRAMES, "tags": ["Plans"], "parameters": [ID],
        "requestBody": {"required": True, "content": {"application/json": {"schema": schema("FramePlanRequest")}}},
        "responses": made | {"202": later}, **access(EVALUATE),
    }  # fmt: skip


def _at_once(name: str, summary: str, description: str, asked: str, content: Json) -> Json:
    return {
        "operationId": name, "summary": summary, "description": description, "tags": ["Plans"], "parameters": [ID],
        "requestBody": {"required": True, "content": {"application/json": {"schema": schema(asked)}}},
        "responses": responses(f"{summary}.", content, 401, 403, 413, 415, 422), **access(EVALUATE),
    }  # fmt: skip


def _show() -> Json:
    description = "State, progress from 0 to 1, and the plan once it is done. Plans are kept for a day."
    return get("showPlan", "Follow a plan", description, "PlanJobAnswer", "Plans", 404, parameters=(_ID,), needs=FOLLOW_PLANS)


def _cancel() -> Json:
    description = "A plan that is made already stays as it is; the answer says how it stands."
    return get("cancelPlan", "Cancel a plan", description, "PlanJobAnswer", "Plans", 404, 507, parameters=(_ID,), needs=EVALUATE)
