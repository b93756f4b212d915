"""Controllers of frame plans: make one, at once or as a job; follow a job, and cancel it."""

import asyncio
from typing import Any

import msgspec
from litestar import Response, delete, get, post

from hangworthy.api.access import EVALUATE, FOLLOW_PLANS
from hangworthy.api.core import LARGE, Service
from hangworthy.api.problems import NOT_FOUND, PLAN_FAILED, TOO_LARGE, UNAVAILABLE, Refused, refusal_of
from hangworthy.api.queries import is_id, query
from hangworthy.api.requests import (
    AnyRequest,
    caller_of,
    check_media_type,
    history_of,
    json_answer,
    path_text,
    service_of,
    venues_of,
)
from hangworthy.evaluating import stamp
from hangworthy.history.port import Job
from hangworthy.intake import BadInput
from hangworthy.plans.frames.processes import AllBusy, PlanFailed, Workers
from hangworthy.plans.frames.reading import MOST_BYTES, PlanReader, TooMany
from hangworthy.plans.frames.wanted import PlanInput

DIRECT_WORKS = 300  # more works than these are planned as a job, where a history keeps it


class Planner:
    """What the controllers of frame plans need beside the service: the reader of requests, and the workers of this process."""

    def __init__(self, service: Service) -> None:
        """Prepare both."""
        self.reader, self.workers = PlanReader(service.catalogue.schema), Workers()


def _planner(request: AnyRequest) -> Planner:
    planner: Planner = request.app.state.planner
    return planner


@post("/plans/frames", needs=EVALUATE, request_max_body_size=MOST_BYTES, status_code=200)
async def plan_frames(request: AnyRequest) -> Response[bytes]:
    """Share the stock frames out among works: at once, or as a job where there are many."""
    query(request)
    check_media_type(request)
    body = await request.body()
    given = await _read(request, body)
    service = service_of(request)
    if service.history is not None and len(given.works) > DIRECT_WORKS:
        id_ = service.new_id()
        await service.history.jobs.add(id_, service.now(), given.venue, msgspec.msgpack.encode(given))
        job = await service.history.jobs.get(id_)
        assert job is not None  # noqa: S101 - it has just been kept
        return json_answer(_shown(job), status=202, headers={"location": f"/plans/{id_}", "retry-after": "1"})
    try:
        return json_answer(await _planner(request).workers.run(given))
    except AllBusy:
        raise Refused(UNAVAILABLE, UNAVAILABLE.advice, headers={"retry-after": "5"}) from None
    except PlanFailed:
        raise Refused(PLAN_FAILED, PLAN_FAILED.advice) from None


async def _read(request: AnyRequest, body: bytes) -> PlanInput:
    view = venues_of(request)
    arguments = (body, view.intake, view.evaluators, view.default)
    reader = _planner(request).reader
    try:
        return await asyncio.to_thread(reader.read, *arguments) if len(body) > LARGE else reader.read(*arguments)
    except BadInput as bad:
        raise refusal_of(bad) from None
    except TooMany as many:
        raise Refused(TOO_LARGE, str(many)) from None


def _shown(job: Job) -> bytes:
    plan: Any = None if job.answer is None else msgspec.Raw(job.answer)
    answer = {
        "id": job.id, "state": job.state, "progress": round(job.progress, 3), "venue": job.venue, "asked_at": stamp(job.at),
        "plan": plan, "failure": job.failure,
    }  # fmt: skip
    return msgspec.json.encode(answer)


async def _job(request: AnyRequest) -> Job:
    """Return the job of the address. One at a venue that the caller may not know of is not there."""
    jobs, id_ = history_of(request).jobs, path_text(request, "id")
    job = await jobs.get(id_) if is_id(id_) else None
    if job is None or not caller_of(request).sees(job.venue):
        raise Refused(NOT_FOUND, "There is no such plan. Plans are kept for a day.")
    return job


@get("/plans/{id:str}", needs=FOLLOW_PLANS)
async def show_plan(request: AnyRequest) -> Response[bytes]:
    """Say how far a plan is, and give it once it is made."""
    query(request)
    return json_answer(_shown(await _job(request)))


@delete("/plans/{id:str}", needs=EVALUATE, status_code=200)
async def cancel_plan(request: AnyRequest) -> Response[bytes]:
    """Cancel a plan that is not made yet; one that is over stays as it is."""
    query(request)
    job = await _job(request)
    await history_of(request).jobs.cancel(job.id)
    return json_answer(_shown(await _job(request)))
