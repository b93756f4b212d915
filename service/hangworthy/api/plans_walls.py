"""Controllers of plans of walls: where works hang on one, and what replaces a work that drops out."""

import asyncio

import msgspec
from litestar import Response, post

from hangworthy.api.access import EVALUATE
from hangworthy.api.book import View
from hangworthy.api.problems import refusal_of
from hangworthy.api.queries import query
from hangworthy.api.requests import AnyRequest, check_media_type, json_answer, service_of, venues_of
from hangworthy.api.wishes import best_of
from hangworthy.evaluating import day_of
from hangworthy.intake import BadInput
from hangworthy.plans.replacement.choosing import replace
from hangworthy.plans.wall.drawing import drawing
from hangworthy.plans.wall.planning import plan_wall

SVG = "image/svg+xml"
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"  # a drawing fetches nothing and runs nothing


async def _body(request: AnyRequest) -> tuple[bytes, View]:
    query(request)
    check_media_type(request)
    return await request.body(), venues_of(request)


@post("/plans/wall", needs=EVALUATE, status_code=200)
async def make_wall_plan(request: AnyRequest) -> Response[bytes]:
    """Plan where works hang on one wall: as figures, or as a drawing where that is what is accepted."""
    body, view = await _body(request)
    today = view.on(day_of(service_of(request).now()))
    try:
        plan, asked = await asyncio.to_thread(plan_wall, view.intake, today, view.default, body)
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
    today = view.on(day_of(service_of(request).now()))
    try:
        answer, request.scope["state"]["works"] = await asyncio.to_thread(replace, view.intake, today, view.default, body)
    except BadInput as bad:
        raise refusal_of(bad) from None
    return json_answer(msgspec.json.encode(answer))


def wants_drawing(accept: str) -> bool:
    """Return whether an Accept header names drawings, and JSON no more gladly; whoever takes anything gets figures."""
    return SVG in accept.lower() and best_of(accept, (SVG, "application/json")) == SVG
