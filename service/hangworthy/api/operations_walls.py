"""The operations of wall plans and replacements, as the OpenAPI document states them."""

from hangworthy.api.access import EVALUATE
from hangworthy.api.operation_parts import ID, Json, access, responses, schema

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


def wall_paths() -> Json:
    """Return the paths."""
    plan = {"application/json": {"schema": schema("WallPlan")}, "image/svg+xml": {"schema": {"type": "string"}}}
    chosen = {"application/json": {"schema": schema("Replacement")}}
    return {
        "/plans/wall": {"post": _plan("makeWallPlan", "Plan a wall", _WALL, "WallPlanRequest", plan)},
        "/plans/replacement": {"post": _plan("chooseReplacement", "Choose a replacement", _REPLACEMENT, "ReplacementRequest", chosen)},
    }


def _plan(name: str, summary: str, description: str, asked: str, content: Json) -> Json:
    return {
        "operationId": name, "summary": summary, "description": description, "tags": ["Plans"], "parameters": [ID],
        "requestBody": {"required": True, "content": {"application/json": {"schema": schema(asked)}}},
        "responses": responses(f"{summary}.", content, 401, 403, 413, 415, 422), **access(EVALUATE),
    }  # fmt: skip
