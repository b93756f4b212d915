"""Who may do what: every route against every scope, own and other venue, and every way in which a key can be no good."""

import asyncio
import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import msgspec
import pytest
from litestar import get
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import NOW, Clock, recording_app
from hangworthy.api.access import CACHED_SECONDS, Access
from hangworthy.history.port import SCOPES, ApiKey, Busy, ForBrowsers, History, Scope
from hangworthy.history.tokens import new_key

WORK = {"ref": "a", "kind": "panel", "tiny": {"gap_mm": 2, "keyed": True}}
STOCK = [{"name": "A2", "width_mm": 420, "height_mm": 594}]
SIZED = {**WORK, "framed": False, "width_mm": 400, "height_mm": 300}
WALL = {"width_mm": 3000, "height_mm": 2500}
OWN, OTHER = "annexe", "house"
PUBLIC: frozenset[str] = frozenset()
ANY = frozenset(SCOPES)
E_, R, V, A = frozenset({"evaluate", "admin"}), frozenset({"read", "admin"}), frozenset({"venues", "admin"}), frozenset({"admin"})

# Every route: which scopes let a caller in, an address at a venue, and whether the venue that it is about is told in the answer's status.
# {venue}: the venue's name; {id}: an evaluation there; {job}: a plan there; {ref}: a work there.
ROUTES: dict[tuple[str, str], tuple[frozenset[str], str, dict[str, Any]]] = {
    ("GET", "/"): (PUBLIC, "/", {}),
    ("GET", "/openapi.json"): (PUBLIC, "/openapi.json", {}),
    ("GET", "/form/hints.js"): (PUBLIC, "/form/hints.js", {}),
    ("GET", "/problems/{name}"): (PUBLIC, "/problems/not-found", {}),
    ("GET", "/health/live"): (PUBLIC, "/health/live", {}),
    ("GET", "/health/ready"): (PUBLIC, "/health/ready", {}),
    ("GET", "/metrics"): (R, "/metrics", {}),
    ("GET", "/packs"): (ANY, "/packs", {}),
    ("GET", "/rules"): (ANY, "/rules", {}),
    ("GET", "/rules/{code}"): (ANY, "/rules/tiny.gap", {}),
    ("GET", "/limits"): (ANY, "/limits?venue={venue}", {"other": 404}),
    ("GET", "/form"): (E_, "/form?venue={venue}", {"other": 404}),
    ("GET", "/venues"): (ANY, "/venues", {}),
    ("GET", "/venues/{name}"): (ANY, "/venues/{venue}", {"other": 404}),
    ("GET", "/venues/{name}/versions"): (R | V, "/venues/{venue}/versions", {"other": 404}),
    ("POST", "/plans/wall"): (E_, "/plans/wall", {"other": 422, "json": {"works": [SIZED], "venue": "{venue}", "wall": WALL}}),
    ("POST", "/plans/replacement"): (
        E_,
        "/plans/replacement",
        {"other": 422, "json": {"candidates": [WORK], "wall_name": "north", "venue": "{venue}"}},
    ),
    ("PUT", "/venues/{name}"): (V, "/venues/{venue}", {"other": 404, "json": {}, "headers": {"if-match": "*"}}),
    ("POST", "/evaluations"): (E_, "/evaluations", {"other": 422, "json": {"works": [WORK], "venue": "{venue}"}, "good": 201}),
    ("POST", "/evaluations/batch"): (
        E_,
        "/evaluations/batch?venue={venue}",
        {"other": 422, "json": {"works": [WORK]}, "headers": {"content-type": "application/jsonl"}},
    ),
    ("POST", "/readings"): (E_, "/readings", {"json": {"lines": [{"dimensions": "24 x 36 in"}]}}),
    ("GET", "/evaluations"): (R, "/evaluations?venue={venue}", {}),
    ("GET", "/evaluations/{id}"): (R, "/evaluations/{id}", {"other": 404}),
    ("GET", "/evaluations/{id}/changes"): (R, "/evaluations/{id}/changes?since={id}", {"other": 404}),
    ("POST", "/evaluations/{id}/replay"): (R, "/evaluations/{id}/replay", {"other": 404}),
    ("POST", "/plans/frames"): (E_, "/plans/frames", {"other": 422, "json": {"works": [WORK], "venue": "{venue}", "frames": STOCK}}),
    ("GET", "/plans/{id}"): (E_ | R, "/plans/{job}", {"other": 404}),
    ("DELETE", "/plans/{id}"): (E_, "/plans/{job}", {"other": 404}),
    ("GET", "/evaluations/{id}/sheet"): (R, "/evaluations/{id}/sheet", {"other": 404}),
    ("GET", "/works/{ref}/history"): (R, "/works/{ref}/history", {}),
    ("DELETE", "/works/{ref}"): (A, "/works/{ref}", {}),
}


def add_key(client: TestClient, store: History, clock: Clock, *scopes: Scope, venues: tuple[str, ...] | None = None, **more: Any) -> str:
    """Make a key and return its token."""
    id_, token, kept = new_key()
    key = ApiKey(id=id_, name="a form", scopes=scopes, venues=venues, made_at=clock(), **more)
    with client.portal() as portal:
        portal.call(store.keys.add, key, kept)
    return token


class Doors:
    """The service with a record at each of two venues, and a key for each scope that is restricted to one of them."""

    def __init__(self, client: TestClient, store: History, clock: Clock) -> None:
        self.client, self.store, self.clock = client, store, clock
        self.ids = {
            name: client.post("/evaluations", json={"works": [{**WORK, "ref": f"at-{name}"}], "venue": name}).json()["id"]
            for name in (OWN, OTHER)
        }  # fmt: skip
        self.jobs = {name: f"00000000-0000-7000-8000-00000000000{place}" for place, name in enumerate((OWN, OTHER), 1)}
        with client.portal() as portal:
            for name, id_ in self.jobs.items():
                portal.call(store.jobs.add, id_, NOW, name, b"")
        client.app.state.service.access._asked = float("-inf")  # no key was there a moment ago, which may be remembered
        self.keys = {scope: add_key(client, store, clock, scope, venues=(OWN,)) for scope in SCOPES}

    def ask(self, route: tuple[str, str], venue: str, token: str | None) -> Any:
        _, path, more = ROUTES[route]
        told = {
            "venue": venue,
            "job": self.jobs.get(venue, "00000000-0000-7000-8000-000000000009"),
            "id": self.ids.get(venue, "00000000-0000-7000-8000-000000000000"),
            "ref": f"at-{venue}",
        }
        filled = re.sub(r"\{(\w+)\}", lambda found: told[found[1]], path)
        body = msgspec.json.decode(msgspec.json.encode(more.get("json")).replace(b"{venue}", venue.encode()))
        headers = dict(more.get("headers", {})) | ({"authorization": f"Bearer {token}".encode()} if token else {})
        return self.client.request(route[0], filled, json=body, headers=headers)


@pytest.fixture
def doors(client: TestClient, store: History, clock: Clock) -> Doors:
    return Doors(client, store, clock)


def routes(client: TestClient) -> Iterator[tuple[str, str]]:
    for route in client.app.routes:
        for method in getattr(route, "methods", ()):
            if method != "OPTIONS":
                yield method, re.sub(r":\w+", "", route.path)


def test_the_table_is_complete(client: TestClient) -> None:
    assert set(routes(client)) == set(ROUTES)


def test_every_scope_at_the_own_and_at_another_venue(doors: Doors) -> None:
    for route, (allowed, _, more) in ROUTES.items():
        for scope, token in doors.keys.items():
            own, other = (doors.ask(route, venue, token) for venue in (OWN, OTHER))
            if allowed and scope not in allowed:
                assert (own.status_code, other.status_code) == (403, 403), (route, scope)
                assert own.json()["type"] == "/problems/forbidden"
                continue
            assert own.status_code == more.get("good", 200), (route, scope, own.text)
            assert other.status_code == more.get("other", 200), (route, scope, other.text)


# Evaluate with record=false, and read what a form asks; from the key's own origins: see test_browser_keys.py
PUBLIC_KEYS_MAY = {("POST", "/evaluations"), ("GET", "/form")}


def test_a_key_for_browsers_at_every_route(doors: Doors) -> None:
    origin = "https://form.example"
    token = add_key(doors.client, doors.store, doors.clock, "evaluate", venues=(OWN,), browser=ForBrowsers(origins=(origin,)))
    for route, (allowed, _, _) in ROUTES.items():
        for venue in (OWN, OTHER):
            answer = doors.ask(route, venue, token)
            if allowed:  # also where it may evaluate: this was sent from no origin, and to be recorded
                assert (answer.status_code, answer.json()["type"]) == (403, "/problems/forbidden"), (route, venue)
            else:
                assert answer.status_code == 200, (route, venue)
    body = {"works": [WORK], "venue": OWN}
    headers = {"authorization": f"Bearer {token}", "origin": origin}
    assert doors.client.post("/evaluations?record=false", json=body, headers=headers).status_code == 200
    assert doors.client.post("/evaluations?record=false", json={**body, "venue": OTHER}, headers=headers).status_code == 422
    public = {(method, route.path) for route in doors.client.app.routes for method, handler in route.route_handler_map.items()
              if handler[0].opt.get("public")}  # fmt: skip
    assert public == PUBLIC_KEYS_MAY


@pytest.mark.parametrize("route", sorted(ROUTES), ids=" ".join)
def test_a_key_that_is_no_good_is_refused_in_one_and_the_same_way(doors: Doors, route: tuple[str, str]) -> None:
    revoked = add_key(doors.client, doors.store, doors.clock, *SCOPES, revoked_at=NOW)
    expired = add_key(doors.client, doors.store, doors.clock, *SCOPES, expires_at=NOW)
    good = doors.keys["admin"]
    bad = [None, revoked, expired, "hw_nobody_secret", good + "x", good[:-1], "hw_", "hw__", "x", "hw_ä_ö", "hw_" + "x" * 500, "hw_a_\x01"]
    answers = [doors.ask(route, OWN, token) for token in bad]
    if not ROUTES[route][0]:
        assert {one.status_code for one in answers} == {200}
        return
    assert {one.status_code for one in answers} == {401}
    assert {one.headers["www-authenticate"] for one in answers} == {"Bearer"}
    told = {(one.json()["type"], one.json()["title"], one.json()["detail"]) for one in answers}
    assert len(told) == 1


@pytest.mark.parametrize("route", [route for route in sorted(ROUTES) if "{venue}" in repr(ROUTES[route])], ids=" ".join)
def test_a_forbidden_venue_and_an_unknown_one_are_told_alike(doors: Doors, route: tuple[str, str]) -> None:
    for token in doors.keys.values():
        unknown, forbidden = (doors.ask(route, venue, token) for venue in ("mouse", OTHER))
        assert unknown.status_code == forbidden.status_code
        clean = [re.sub(r'"instance":"[^"]*"', "", one.text.replace(name, "")) for one, name in ((unknown, "mouse"), (forbidden, OTHER))]
        assert clean[0] == clean[1]


def test_what_is_listed_is_only_what_may_be_seen(doors: Doors) -> None:
    headers = {"authorization": f"Bearer {doors.keys['read']}"}
    assert [one["name"] for one in doors.client.get("/venues", headers=headers).json()["items"]] == [OWN]
    assert [one["venue"] for one in doors.client.get("/evaluations", headers=headers).json()["items"]] == [OWN]
    assert doors.client.get(f"/works/at-{OTHER}/history", headers=headers).json() == {"items": []}
    assert doors.client.get("/health/ready").json().keys() == {"status", "packs", "faults", "history"}
    nowhere = doors.client.post("/evaluations", json={"works": [WORK]}, headers={"authorization": f"Bearer {doors.keys['evaluate']}"})
    assert nowhere.json()["errors"] == [{"pointer": "/venue", "message": f"Name the venue; there are: {OWN}."}]
    admin = {"authorization": f"Bearer {doors.keys['admin']}"}
    assert doors.client.delete(f"/works/at-{OTHER}", headers=admin).json()["evaluations"] == 0
    assert doors.client.get("/limits", headers=headers).status_code == 422


def test_what_comes_of_one_key_is_hidden_from_anothers_idempotency(doors: Doors) -> None:
    """Two forms may count from 1: a key of one never answers a request of the other."""
    token = add_key(doors.client, doors.store, doors.clock, "evaluate")
    body, tokens = {"works": [WORK], "venue": OWN}, (token, doors.keys["evaluate"])
    headers = [{"idempotency-key": "1", "authorization": f"Bearer {one}"} for one in tokens]
    made = [doors.client.post("/evaluations", json=body, headers=one) for one in headers]
    assert [one.status_code for one in made] == [201, 201]
    assert made[0].json()["id"] != made[1].json()["id"]


def test_both_ways_of_evaluating_ask_for_the_key(doors: Doors) -> None:
    for query in ("", "?record=false"):
        for origin in ({}, {"origin": "https://form.example"}):
            assert doors.client.post(f"/evaluations{query}", json={"works": [WORK], "venue": OWN}, headers=origin).status_code == 401


def test_the_use_of_a_key_is_noted_and_its_end_is_kept(doors: Doors) -> None:
    token = add_key(doors.client, doors.store, doors.clock, "read", expires_at=NOW + timedelta(days=1))
    headers = {"authorization": f"bearer {token}"}
    assert doors.client.get("/packs", headers=headers).status_code == 200
    with doors.client.portal() as portal:
        kept, _ = portal.call(doors.store.keys.find, token.split("_")[1])
    assert kept.last_used_on.date() == NOW.date()
    doors.clock.now = NOW + timedelta(days=1)
    assert doors.client.get("/packs", headers=headers).status_code == 401


def test_a_revoked_key_is_out_within_seconds(doors: Doors) -> None:
    ticks = [0.0]
    access = Access(doors.store, doors.clock, ticks=lambda: ticks[0])
    token = doors.keys["read"]
    given = [(b"authorization", f"Bearer {token}".encode())]
    with doors.client.portal() as portal:
        assert portal.call(access.caller, given, ("read",)).venues == (OWN,)
        assert portal.call(doors.store.keys.revoke, token.split("_")[1], NOW)
        ticks[0] = 3.0
        with pytest.raises(Exception, match="unauthorized"):
            portal.call(access.caller, given, ("read",))


def test_options_need_no_key_so_that_browsers_may_ask_first(doors: Doors) -> None:
    assert doors.client.options("/evaluations").status_code == 204


def test_a_handler_that_says_nothing_lets_nobody_in(clock: Clock, store: History) -> None:
    @get("/forgotten", sync_to_thread=False)
    def forgotten() -> str:
        return "secret"

    app = recording_app(store, clock)
    app.register(forgotten)
    with TestClient(app, raise_server_exceptions=False) as client:
        assert client.get("/forgotten").status_code == 500


def test_who_asks_without_a_key_goes_on_while_the_history_is_away() -> None:
    """With nothing to keep an evaluation needs no history, so it is answered; but whoever never learnt of keys lets nobody in."""
    store, seconds = MemoryHistory(), [0.0]
    known, new = (Access(store, lambda: NOW, lambda: seconds[0]) for _ in range(2))
    assert asyncio.run(known.keyed()) is False
    store.keys.away = Busy("away")
    seconds[0] += 2 * CACHED_SECONDS
    assert asyncio.run(known.keyed()) is False
    with pytest.raises(Busy):
        asyncio.run(new.keyed())
    store.keys.away = None
    asyncio.run(store.keys.add(ApiKey(id="a", name="form", scopes=("read",), venues=None, made_at=NOW), b"digest"))
    seconds[0] += 2 * CACHED_SECONDS
    assert asyncio.run(known.keyed()) is True
