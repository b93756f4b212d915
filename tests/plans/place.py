"""A running service over the installed packs and the demo's invented venue, for tests of plans."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import httpx

from api.serving import NEW_ID, NOW, running
from hangworthy.app import create_app
from hangworthy.demo import demo_venue_path
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.settings import Settings
from hangworthy.venues import load_venue

Json = dict[str, Any]


@contextmanager
def client() -> Iterator[httpx.Client]:
    """Yield a client of the service, over real HTTP on loopback."""
    catalogue = build_catalogue(*discover())
    venue = load_venue(demo_venue_path(), catalogue.schema)
    app = create_app(Settings(), catalogue, [venue], clock=lambda: NOW, new_id=lambda: NEW_ID)
    with running(app) as address, httpx.Client(base_url=address, timeout=60) as made:
        yield made


def canvas(ref: str, width: Any, height: Any, **more: Any) -> Json:
    return {"ref": ref, "kind": "stretched-canvas", "framed": False, "width_mm": width, "height_mm": height, **more}
