"""Venues kept in the service: versions, ETags, preconditions, every fault at once, and in force at once."""

from datetime import timedelta
from typing import Any
from urllib.parse import quote

import httpx
import pytest
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import Clock, recording_app, running, tiny_catalogue, tiny_venues
from hangworthy.api.life import is_loopback, retain
from hangworthy.history.canonical import canonical
from hangworthy.history.port import ApiKey, History
from hangworthy.settings import Settings
from hangworthy.venues import stamped
from hangworthy.venues.content import content_of, read_content

WORK = {"ref": "a", "kind": "panel", "tiny": {"gap_mm": 7, "keyed": True}}
LIMIT = {"limits": {"tiny.gap_mm": {"value": "8 mm", "reason": "Deep gaps are wanted."}}}
NEW = {"if-none-match": "*"}


def put(client: TestClient, name: str, content: Any, **headers: str) -> Any:
    return client.put(f"/venues/{name}", json=content, headers={one.replace("_", "-"): value for one, value in headers.items()})


def refusal(app: Any) -> str:
    """Return why an application does not start."""
    with pytest.raises(BaseException, match=r"."), TestClient(app):
        pass
    return str(app.refusal)


def test_a_new_venue_is_kept_and_in_force_at_once(client: TestClient) -> None:
    made = put(client, "loft", {**LIMIT, "title": "The loft", "walls": [{"name": "n", "width_mm": "3 m"}]}, if_none_match="*")
    assert made.status_code == 201, made.text
    assert (made.json()["version"], made.json()["title"]) == (1, "The loft")
    assert client.get("/venues/loft").content == made.content
    assert client.get("/venues/loft").headers["etag"] == made.headers["etag"]
    assert client.post("/evaluations", json={"works": [{**WORK, "wall_name": "n"}], "venue": "loft"}).json()["outcome"] == "ready"
    assert put(client, "loft", {}, if_none_match="*").status_code == 412


def test_a_change_needs_the_version_it_was_made_from(client: TestClient) -> None:
    first = client.get("/venues/house").headers["etag"]
    assert put(client, "house", LIMIT).status_code == 428
    second = put(client, "house", LIMIT, if_match=first)
    assert (second.status_code, second.json()["version"]) == (200, 2)
    assert second.headers["etag"] != first
    for tag in (first, '"other"', f"W/{second.headers['etag']}"):
        assert put(client, "house", {}, if_match=tag).status_code == 412, tag
    assert put(client, "nowhere", {}, if_match="*").status_code == 412
    third = put(client, "house", {}, if_match=f'"x", {second.headers["etag"]}')
    assert (third.status_code, third.json()["version"]) == (200, 3)
    same = put(client, "house", {}, if_match=third.headers["etag"])
    assert (same.status_code, same.json()["version"], same.headers["etag"]) == (200, 3, third.headers["etag"])


def test_earlier_versions_stay_readable(client: TestClient) -> None:
    first = client.get("/venues/annexe")
    assert first.json()["version"] == 3  # as its file said
    content = {**first.json()["content"], "title": "Another"}
    put(client, "annexe", content, if_match=first.headers["etag"])
    versions = client.get("/venues/annexe/versions").json()
    assert [one["version"] for one in versions["items"]] == [4, 3]
    assert versions["items"][1]["etag"] == first.headers["etag"]
    old = client.get("/venues/annexe?version=3")
    assert (old.content, old.headers["etag"]) == (first.content, first.headers["etag"])
    assert client.get("/venues/annexe").json()["title"] == "Another"
    assert client.get("/venues/annexe?version=9").status_code == 404
    assert client.get("/venues/annexe?version=0").status_code == 422
    assert client.get("/venues/nowhere/versions").status_code == 404


def test_what_is_shown_can_be_put_back_and_changes_nothing(client: TestClient) -> None:
    for name in ("house", "annexe"):
        shown = client.get(f"/venues/{name}")
        again = put(client, name, shown.json()["content"], if_match=shown.headers["etag"])
        assert (again.status_code, again.content) == (200, shown.content)


def test_every_fault_is_told_at_once_with_its_pointer(client: TestClient) -> None:
    bad = {
        "name": "attic",
        "version": 2,
        "titel": "x",
        "packs": ["tiny"],
        "limits": {"tiny.gap_mm": {"value": "8 kg", "reason": "because"}, "tiny.gap": {"value": 1, "reason": "because"}},
        "guard": {"low": 0.9},
        "walls": [{"name": "n", "widht_mm": 5}, {"name": "n", "rh_percent": "wet"}],
        "frames": [{"name": "A/4", "width_mm": -1}],
        "rates": [{"currency": "eur", "of": "USD", "worth": "0.9"}],
        "retention_days": 0,
    }
    response = put(client, "loft", bad, if_none_match="*")
    assert response.status_code == 422
    told = {one["pointer"]: one["message"] for one in response.json()["errors"]}
    assert told.keys() == {
        "/name", "/version", "/titel", "/limits/tiny.gap_mm", "/limits/tiny.gap", "/guard/low", "/walls/0/widht_mm", "/walls/1/name",
        "/walls/1/rh_percent", "/frames/0/width_mm", "/frames/0/height_mm", "/rates/0/currency", "/retention_days",
    }  # fmt: skip
    assert "Did you mean “width_mm”" in told["/walls/0/widht_mm"]
    assert "Did you mean “tiny.gap_mm”" in told["/limits/tiny.gap"]
    assert "weight" in told["/limits/tiny.gap_mm"]
    assert client.get("/venues/loft").status_code == 404


def test_unknown_packs_are_told_each(client: TestClient) -> None:
    response = put(client, "loft", {"packs": ["tinny", "huge"]}, if_none_match="*")
    (one,) = response.json()["errors"]
    assert one["pointer"] == "/packs"
    assert "Did you mean “tiny”" in one["message"]
    assert "Pack “huge” is not installed" in one["message"]


@pytest.mark.parametrize(
    ("body", "status"),
    [(b"", 400), (b"{", 400), (b"[]", 422), (b"7", 422), (b'{"title": "a", "title": "b"}', 400), (b'{"title": "a\\u0000"}', 422),
     (b'{"title": "a\\u202eb"}', 422), (b'{"walls": null}', 422), (b'{"limits": {"tiny.gap_mm": null}}', 422), (b"\xff", 400),
     (b'{"walls": [{"name": "n", "build": []}]}', 422), (b'{"guard": []}', 422), (b'{"rates": [{"worth": 1e999}]}', 422)],
)  # fmt: skip
def test_a_body_that_is_no_venue_is_refused(client: TestClient, body: bytes, status: int) -> None:
    response = client.put("/venues/loft", content=body, headers={**NEW, "content-type": "application/json"})
    assert response.status_code == status, response.text
    assert client.put("/venues/loft", content=b"{}", headers=NEW).status_code == 415


@pytest.mark.parametrize("name", ["a/b", "Häuser 1–3", "a.b", "' or 1=1 --", "<b>x</b>"])
def test_a_venues_name_may_be_any_line_of_text(client: TestClient, name: str) -> None:
    assert put(client, quote(name, safe=""), {}, if_none_match="*").json()["name"] == name
    assert client.get(f"/venues/{quote(name, safe='')}").json()["name"] == name


@pytest.mark.parametrize("name", ["%00", "a%0Ab", "%E2%80%AEx", "x" * 81])
def test_a_name_that_could_steer_a_terminal_leads_nowhere(client: TestClient, name: str) -> None:
    assert put(client, name, {}, if_none_match="*").status_code == 404


def test_a_venue_file_is_a_seed_and_what_is_kept_counts(store: History, clock: Clock, caplog: pytest.LogCaptureFixture) -> None:
    with TestClient(recording_app(store, clock)) as client:
        put(client, "house", LIMIT, if_match=client.get("/venues/house").headers["etag"])
    with TestClient(recording_app(store, clock)) as client:
        assert client.get("/venues/house").json()["version"] == 2
        assert len(client.get("/venues/house/versions").json()["items"]) == 2
    assert "differs from what the history keeps" in caplog.text


def test_the_default_may_be_a_venue_that_only_the_history_knows(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        put(client, "loft", {}, if_none_match="*")
    with TestClient(recording_app(store, clock, Settings(default_venue="loft"))) as client:
        assert client.post("/evaluations", json={"works": [WORK]}).json()["venue"]["name"] == "loft"
    assert "the default venue “attic” is none of" in refusal(recording_app(store, clock, Settings(default_venue="attic")))


def test_another_process_follows_by_the_stamp(store: History, clock: Clock) -> None:
    """Two applications over one store, as two replicas are; the second one looks every second, and is asked to look here."""
    with TestClient(recording_app(store, clock)) as one:
        second = recording_app(store, clock)
        with one.portal() as portal:
            book = second.state.service.book
            portal.call(book.open, clock)
            put(one, "house", LIMIT, if_match=one.get("/venues/house").headers["etag"])
            assert book.evaluators["house"].ruleset.limits["tiny.gap_mm"].value == 5
            assert portal.call(book.refresh) is True
            assert book.evaluators["house"].ruleset.limits["tiny.gap_mm"].value == 8
            assert portal.call(book.refresh) is False


def test_a_look_that_was_under_way_does_not_bring_an_older_version_back(
    store: History, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = recording_app(store, clock)
    book, asked = app.state.service.book, store.venues.current
    with TestClient(app) as client, client.portal() as portal:
        first, older = client.get("/venues/house").headers["etag"], portal.call(asked)

        async def slow() -> Any:
            return older  # what the history held before this process changed it

        put(client, "house", LIMIT, if_match=first)
        monkeypatch.setattr(store.venues, "current", slow)
        portal.call(book.refresh)
        assert book.evaluators["house"].ruleset.limits["tiny.gap_mm"].value == 8
        monkeypatch.setattr(store.venues, "current", asked)
        portal.call(book.refresh)
        assert book.evaluators["house"].ruleset.limits["tiny.gap_mm"].value == 8


def test_a_venue_that_another_process_packs_made_stays_out_here(store: History, clock: Clock, caplog: pytest.LogCaptureFixture) -> None:
    with TestClient(recording_app(store, clock)) as client:
        with client.portal() as portal:
            portal.call(lambda: store.venues.put("odd", b'{"name":"odd","packs":["elsewhere"]}', "x", based_on=0, at=clock(), by=None))
            portal.call(client.app.state.service.book.refresh)
        assert client.get("/venues/odd").status_code == 404
        assert client.post("/evaluations", json={"works": [WORK]}).status_code == 201
    assert "cannot be used with the packs of this process" in caplog.text


def test_facts_are_kept_no_longer_than_the_venue_says(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        put(client, "house", {"retention_days": 30}, if_match=client.get("/venues/house").headers["etag"])
        path = client.post("/evaluations", json={"works": [WORK]}).headers["location"]
        with client.portal() as portal:
            clock.now += timedelta(days=29)
            portal.call(retain, client.app.state.service)
            assert len(client.get(path).json()["works"]) == 1
            clock.now += timedelta(days=2)
            portal.call(retain, client.app.state.service)
        assert client.get(path).json()["works"] == []


def test_content_is_read_back_as_the_same_venue() -> None:
    catalogue = tiny_catalogue()
    for venue in tiny_venues(catalogue):
        content = content_of(venue)
        again, faults = read_content(content, catalogue.schema, venue.version)
        assert (again, faults) == (stamped(venue), [])
        assert canonical(content_of(again)) == canonical(content)


@pytest.mark.parametrize(("host", "own"), [("127.0.0.1", True), ("::1", True), ("localhost", True), ("127.9.9.9", True), ("0.0.0.0", False),
                                           ("::", False), ("10.0.0.7", False), ("example.org", False), ("", False)])  # fmt: skip
def test_which_addresses_are_this_computers_own(host: str, own: bool) -> None:
    assert is_loopback(host) is own


def test_without_a_key_no_other_computer_is_let_near() -> None:
    store, settings = MemoryHistory(), Settings(host="0.0.0.0")
    assert "make one with “hangworthy keys add”" in refusal(recording_app(store, settings=settings))
    assert store.life == ["start", "stop"]
    store.keys.kept["k"] = (ApiKey(id="k", name="k", scopes=("read",), venues=None, made_at=Clock()()), b"")
    with TestClient(recording_app(store, settings=settings)) as client:
        assert client.get("/health/live").status_code == 200


def test_over_a_real_connection_a_slash_in_a_name_is_kept(store: History) -> None:
    with running(recording_app(store)) as address:
        made = httpx.post(f"{address}/evaluations", json={"works": [{**WORK, "ref": "a/b"}]}, timeout=60)
        assert made.status_code == 201
        assert len(httpx.get(f"{address}/works/a%2Fb/history", timeout=60).json()["items"]) == 1
        assert httpx.get(f"{address}{made.headers['location']}", timeout=60).content == made.content
