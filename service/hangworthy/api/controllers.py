"""The controllers that are about the service itself: packs, rules, problems, health, figures, the document and the page.

Below them stands the list of all handlers, which the application is made of.
"""

from typing import Any

import msgspec
from litestar import MediaType, Response, get

from hangworthy.api import batches, describe, evaluations, forms, hints, metrics, plans_frames, plans_walls, readings, sheets, venues, works
from hangworthy.api.access import ANY_KEY, ANYBODY, READ
from hangworthy.api.answers import Live
from hangworthy.api.problems import NOT_FOUND, Refused, explained
from hangworthy.api.queries import query
from hangworthy.api.requests import AnyRequest, json_answer, service_of, struct_answer
from hangworthy.engine.reading import nearest
from hangworthy.history.port import HistoryError
from hangworthy.intake.faults import quote

_LIVE = msgspec.json.encode(Live())
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


@get("/packs", sync_to_thread=False, needs=ANY_KEY)
def list_packs(request: AnyRequest) -> Response[bytes]:
    """List the installed packs."""
    query(request)
    return json_answer(service_of(request).packs)


@get("/rules", needs=ANY_KEY)
async def list_rules(request: AnyRequest) -> Response[bytes]:
    """List the rules, of one pack or of all."""
    service = service_of(request)

    def known(_: str, name: str) -> str:
        if name not in service.pack_names:
            raise ValueError(f"There is no pack {quote(name)}.{nearest(name, service.pack_names) or ' See /packs.'}")
        return name

    pack = query(request, pack=known)["pack"]
    rules = await service.rules.get()
    return struct_answer(describe.summaries(one for one in rules.values() if pack in (None, one.pack)))


@get("/rules/{code:str}", needs=ANY_KEY)
async def show_rule(request: AnyRequest) -> Response[bytes]:
    """Show one rule in full."""
    query(request)
    rules, code = await service_of(request).rules.get(), str(request.path_params["code"])
    if code not in rules:
        raise Refused(NOT_FOUND, f"There is no rule {quote(code)}.{nearest(code, list(rules)) or ' See /rules.'}")
    return struct_answer(rules[code])


@get("/problems/{name:str}", sync_to_thread=False, needs=ANYBODY)
def explain_problem(request: AnyRequest) -> Response[bytes]:
    """Explain a type of problem."""
    query(request)
    kind = explained(str(request.path_params["name"]))
    if kind is None:
        raise Refused(NOT_FOUND, "There is no problem of that name. They are listed in /openapi.json.")
    return struct_answer(kind)


@get("/health/live", sync_to_thread=False, needs=ANYBODY, volatile=True)
def check_live(request: AnyRequest) -> Response[bytes]:
    """Say that the service runs."""
    query(request)
    return json_answer(_LIVE)


@get("/health/ready", needs=ANYBODY, volatile=True)
async def check_ready(request: AnyRequest) -> Response[bytes]:
    """Say with which packs the service answers, which are at fault, and how its history is."""
    query(request)
    return struct_answer(await service_of(request).ready())


@get("/metrics", needs=READ, volatile=True)
async def show_metrics(request: AnyRequest) -> Response[bytes]:
    """Give the figures of this process to Prometheus."""
    query(request)
    service = service_of(request)
    try:
        await service.ready()  # notes how full the queue is
    except HistoryError:
        service.metrics.queue(0, 0)  # the figures of the process itself are wanted most when its store is away
    return Response(service.metrics.text(), media_type=metrics.MEDIA_TYPE)


@get("/openapi.json", needs=ANYBODY)
async def show_document(request: AnyRequest) -> Response[bytes]:
    """Serve the OpenAPI document."""
    query(request)
    document, _ = await service_of(request).described.get()
    return json_answer(document)


@get("/", needs=ANYBODY)
async def show_page(request: AnyRequest) -> Response[bytes]:
    """Serve the human page of the API."""
    query(request)
    _, page = await service_of(request).described.get()
    return Response(page, media_type=MediaType.HTML, headers={"content-security-policy": _POLICY})


HANDLERS: list[Any] = [
    evaluations.evaluate_works, evaluations.list_evaluations, evaluations.show_evaluation, evaluations.show_changes,
    evaluations.replay_evaluation, sheets.show_sheet, batches.evaluate_batch, readings.read_texts, forms.show_form, hints.show_hints,
    works.show_life, works.erase_work,
    venues.list_limits, venues.list_venues, venues.show_venue, venues.list_versions, venues.keep_venue,
    plans_frames.plan_frames, plans_frames.show_plan, plans_frames.cancel_plan, plans_walls.make_wall_plan, plans_walls.choose_replacement,
    list_packs, list_rules, show_rule, explain_problem, check_live, check_ready, show_metrics, show_document, show_page,
]  # fmt: skip
