"""Controllers of plans that are made at once: where works hang on a wall, and what replaces one that drops out."""

import asyncio
from typing import Any

import msgspec
from litestar import Response, post

from hangworthy.api.access import EVALUATE
from hangworthy.api.book import View
from hangworthy.api.problems import refusal_of
from hangworthy.api.requests import AnyRequest, caller_of, check_media_type, json_answer, query, service_of
from hangworthy.intake import BadInput
from hangworthy.plans.replacement.choosing import replace
from hangworthy.plans.wall.drawing import drawing
from hangworthy.plans.wall.planning import plan_wall

SVG = "image/svg+xml"
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"  # a drawing fetches nothing and runs nothing


async def _body(request: AnyRequest) -> tuple[bytes, View]:
    query(request)
    check_media_type(request)
    return await request.body(), service_of(request).book.view(caller_of(request).venues)


@post("/plans/wall", needs=EVALUATE, status_code=200)
async def make_wall_plan(request: AnyRequest) -> Response[bytes]:
    """Plan where works hang on one wall: as figures, or as a drawing where that is what is accepted."""
    body, view = await _body(request)
    try:
        plan, asked = await asyncio.to_thread(plan_wall, view.intake, view.evaluators, view.default, body)
    except BadInput as bad:
        raise refusal_of(bad) from None
    request.scope["state"]["works"] = len(asked.works)
    if wants_drawing(request.headers.get("accept", "")):
        drawn = drawing(plan, asked.task.surface.obstacles).encode()
        return Response(drawn, media_type=SVG, headers={"vary": "accept", "content-security-policy": _POLICY})
    return json_answer(msgspec.json.encode(plan), headers={"vary": "accept"})


@post("/plans/replacement", needs=EVALUATE, status_code=200)
async def choose_replacement(request: AnyRequest) -> Response[bytes]:
    """Rank the works that could hang in a free place, and say why the others could not."""
    body, view = await _body(request)
    try:
        answer, request.scope["state"]["works"] = await asyncio.to_thread(replace, view.intake, view.evaluators, view.default, body)
    except BadInput as bad:
        raise refusal_of(bad) from None
    return json_answer(msgspec.json.encode(answer))


def wants_drawing(accept: str) -> bool:
    """Return whether an Accept header names drawings, and JSON no more gladly (RFC 9110, 12.5.1)."""
    weights: dict[str, float] = {}
    for part in accept.split(","):
        kind, *parameters = (one.strip().lower() for one in part.split(";"))
        weights[kind] = min((_weight(one) for one in parameters), default=1.0)
    json = max(weights.get(kind, 0.0) for kind in ("application/json", "application/*", "*/*"))
    return weights.get(SVG, 0.0) > 0 and ("application/json" not in weights or weights[SVG] >= json)


def _weight(parameter: str) -> float:
    name, _, value = parameter.partition("=")
    try:
        return float(value) if name.strip() == "q" else 1.0
    except ValueError:
        return 1.0


HANDLERS: list[Any] = [make_wall_plan, choose_replacement]
