"""The service's life: its history is opened before the first request and closed after the last, and looked at in between."""

import asyncio
import contextlib
import ipaddress
import logging
from collections.abc import AsyncIterator, Callable
from datetime import timedelta
from typing import Any

from hangworthy.api.core import Service
from hangworthy.engine.fault import VenueError
from hangworthy.history.port import HistoryError
from hangworthy.plans.jobs import KEPT_FOR, Runner

_LOG = logging.getLogger("hangworthy.life")
LOOK_SECONDS = 1.0
RETAIN_SECONDS = 3_600.0


class Exposed(Exception):
    """Raised when the service would answer other computers with no key made: anybody could read and write."""


def is_loopback(host: str) -> bool:
    """Return whether an address is this computer's own. A name other than localhost may lead anywhere."""
    try:
        return ipaddress.ip_address(host.strip("[]").partition("%")[0]).is_loopback
    except ValueError:
        return host == "localhost"


def living(service: Service, host: str) -> Callable[[Any], Any]:
    """Return the lifespan of an application over a service that listens on a host."""

    @contextlib.asynccontextmanager
    async def lifespan(app: Any) -> AsyncIterator[None]:
        try:
            await _open(service, host)
        except (HistoryError, VenueError, Exposed) as error:
            app.refusal = str(error)  # for whoever started it: a server would only show a trace
            raise
        tasks = _tasks(service)
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            await service.crew.close()
            if service.history is not None:
                await service.history.stop()

    return lifespan


async def _open(service: Service, host: str) -> None:
    if service.history is not None:
        await service.history.start()
    try:
        if not is_loopback(host) and not await service.access.keyed():
            raise Exposed(_exposed(service, host))
        if service.history is not None:
            await service.book.open(service.now)
    except BaseException:
        if service.history is not None:
            await service.history.stop()
        raise


def _exposed(service: Service, host: str) -> str:
    if service.history is None:
        return (
            f"{host} is open to other computers, and without a history there are no keys; listen on 127.0.0.1, or set HANGWORTHY_DATABASE."
        )
    return f"{host} is open to other computers, and no key was ever made; make one with “hangworthy keys add”, or listen on 127.0.0.1."


def _tasks(service: Service) -> list[asyncio.Task[None]]:
    if service.history is None:
        return []
    return [
        asyncio.create_task(_every(LOOK_SECONDS, lambda: _look(service))),
        asyncio.create_task(_every(RETAIN_SECONDS, lambda: retain(service), at_once=True)),
        asyncio.create_task(_every(LOOK_SECONDS, Runner(service.history.jobs, service.now, service.new_id()).once)),
    ]


async def _every(seconds: float, step: Callable[[], Any], *, at_once: bool = False) -> None:
    """Do a step again and again. One that fails is tried again the next time: the store may be away for a while."""
    if not at_once:
        await asyncio.sleep(seconds)
    while True:
        try:
            await step()
        except HistoryError as error:
            _LOG.warning("the history could not be asked: %s", type(error).__name__)
        except Exception as error:  # noqa: BLE001 - a step that fails must not end the steps after it
            _LOG.error("a step of the background failed: %s", type(error).__name__)
        await asyncio.sleep(seconds)


async def _look(service: Service) -> None:
    """Take over venues that another process changed, and finish what an erasure had to leave."""
    await service.book.refresh()
    if service.history is not None:
        await service.history.tidy()


async def retain(service: Service) -> None:
    """Take works' facts out of evaluations that are older than their venue keeps them, and drop old plans."""
    if service.history is None:
        return
    now = service.now()
    await service.history.jobs.forget(now - KEPT_FOR)
    for name, evaluator in service.book.evaluators.items():
        days = evaluator.ruleset.venue.retention_days
        if days is not None:
            await service.history.retain(name, now - timedelta(days=days), now)
