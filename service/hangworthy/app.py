"""The composition root: the only place that puts concrete things together."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from litestar import Litestar
from litestar.config.cors import CORSConfig
from litestar.datastructures import State
from litestar.exceptions import HTTPException

from hangworthy.api.access import guard
from hangworthy.api.controllers import HANDLERS
from hangworthy.api.core import Service
from hangworthy.api.crossing import Crossing
from hangworthy.api.demo_form import DEMO_HANDLERS
from hangworthy.api.edge import Edge
from hangworthy.api.express import Express
from hangworthy.api.life import living
from hangworthy.api.plans_frames import Planner
from hangworthy.api.problems import Refused, handle_any, handle_http, handle_refused, handle_store
from hangworthy.api.tags import Tags
from hangworthy.crew import Crew, setup_of
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.fault import VenueError
from hangworthy.engine.languages import with_languages
from hangworthy.engine.reading import nearest
from hangworthy.engine.ruleset import Venue
from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import History, HistoryError
from hangworthy.sample import sample_of
from hangworthy.settings import NO_DATABASE, Settings


class Application(Litestar):
    """A Litestar application behind an edge, which sees even what the router refuses."""

    def __init__(self, *, edge: Edge, service: Service, most_bytes: int, **details: Any) -> None:
        """Build the application; the further keywords are Litestar's."""
        super().__init__(state=State({"service": service, "planner": Planner(service)}), request_max_body_size=most_bytes, **details)
        cors: CORSConfig | None = details.get("cors_config")
        settled = frozenset(cors.allow_origins if cors else ())
        crossing = Crossing(super().__call__, service.access.browsers, _public(details["route_handlers"]), settled)
        # The usual request comes from no page and is no GET, so nothing of these concerns it.
        self.express = Express(edge, Tags(crossing), service, most_bytes)
        self.refusal = ""  # why it could not start, for whoever started it

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer one connection."""
        if scope["type"] == "http":
            await self.express(scope, receive, send)
            return

        async def send_on(message: Any) -> None:
            # The framework tells a failed start as a trace; whoever started the service is told in a sentence.
            await send({**message, "message": self.refusal} if message["type"] == "lifespan.startup.failed" and self.refusal else message)

        await super().__call__(scope, receive, send_on)


def _public(handlers: Sequence[Any]) -> dict[str, str]:
    """Return the addresses that keys for browsers may use, with their methods."""
    public = [handler for handler in handlers if handler.opt.get("public")]
    return {path: ", ".join(sorted(handler.http_methods)) for handler in public for path in handler.paths}


def create_app(
    settings: Settings,
    catalogue: Catalogue,
    venues: Sequence[Venue],
    *,
    clock: Callable[[], datetime],
    new_id: Callable[[], str],
    history: History | None = None,
    crew: Crew | None = None,
    demo: bool = False,
) -> Litestar:
    """Return the application over checked packs and venues.

    The first venue is the default unless the settings name one. ``clock`` stamps evaluations and the log, ``new_id`` makes the ids of
    requests and of evaluations. These are kept in the ``history``, which the application starts and stops with itself; a ``crew`` helps
    with batches. With ``demo`` an invented form is shown under /demo. Raises VenueError when a venue names a pack or limit that is not
    there, or the default is none of the venues.
    """
    default = _default(settings, venues, known=history is None)
    service = Service(catalogue, venues, default, clock=clock, new_id=new_id, history=history, crew=crew)
    cors = None
    if settings.cors_origins:
        cors = CORSConfig(
            allow_origins=list(settings.cors_origins),
            allow_methods=["GET", "POST", "PUT", "DELETE"],
            allow_headers=["authorization", "content-type", "idempotency-key", "if-match", "if-none-match", "x-request-id"],
            expose_headers=["etag", "link", "location", "ratelimit", "ratelimit-policy", "retry-after", "x-request-id"],
        )
    return Application(
        edge=Edge(clock, new_id, service.metrics),
        route_handlers=HANDLERS + DEMO_HANDLERS if demo else HANDLERS,
        service=service,
        guards=[guard],
        lifespan=[living(service, settings.host)],
        exception_handlers={Refused: handle_refused, HistoryError: handle_store, HTTPException: handle_http, Exception: handle_any},
        most_bytes=settings.max_body_bytes,
        openapi_config=None,
        logging_config=None,
        cors_config=cors,
        debug=False,
    )


def _default(settings: Settings, venues: Sequence[Venue], *, known: bool) -> str:
    """Return the name of the default venue. Where a history may keep further ones, it is looked for when that is open."""
    names = [venue.name for venue in venues]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice or not names:
        raise VenueError(f"venue {twice[0]} is there twice; give each venue its own name" if twice else "at least one venue is needed")
    wanted = settings.default_venue
    if known and wanted is not None and wanted not in names:
        raise VenueError(f"the default venue “{wanted}” is none of: {', '.join(names)}.{nearest(wanted, names)}")
    return wanted or names[0]


def bootstrap(settings: Settings, *, demo: bool = False) -> Litestar:
    """Return the application that the settings describe: installed packs, venues from files, the history, the system's clock.

    Raises PackFaults for packs at fault (unless settings.on_fault is “report”), VenueError for a venue that cannot be used, and
    HistoryError for a database that is none.
    """
    from hangworthy.discovery import discover
    from hangworthy.venues import default_venue, load_venues

    def clock() -> datetime:
        return datetime.now(UTC)

    installed, faults = discover(settings.packs, load_seconds=settings.load_seconds)
    tolerate = settings.on_fault == "report"
    catalogue = with_languages(build_catalogue(installed, faults, tolerate=tolerate), tolerate=tolerate)
    venues = load_venues(settings.venues, catalogue) or [default_venue()]
    new_id = uuid7_maker(clock)
    history = None if settings.database == NO_DATABASE else _history(settings, clock, new_id, sample_of(catalogue))
    count = settings.processes
    crew = Crew(count, setup_of(catalogue, settings.packs, settings.load_seconds)) if count else None
    return create_app(settings, catalogue, venues, clock=clock, new_id=new_id, history=history, crew=crew, demo=demo)


QUEUE, GROUP = 1_024, 256


def _history(settings: Settings, clock: Callable[[], datetime], new_id: Callable[[], str], sample: bytes) -> History:
    """Return the store of the settings; it and its database's driver are only imported when there is one."""
    from hangworthy.history.sql import SqlHistory

    lease = timedelta(seconds=settings.lease_seconds)
    return SqlHistory(settings.database, clock=clock, new_id=new_id, queue=QUEUE, group=GROUP, lease=lease, sample=sample)
