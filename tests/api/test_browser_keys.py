"""Keys for browsers: what they may not do, from where they may do the one thing they may, and how often (Fetch standard, CORS)."""

from datetime import timedelta
from typing import Any

import pytest
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import NOW, Clock, recording_app, sql_store
from api.test_access import OTHER, OWN, WORK, Doors, add_key
from hangworthy.api.browsers import Browsers, _visitor
from hangworthy.history.port import ApiKey, Busy, ForBrowsers, History
from hangworthy.history.sql import SqlHistory
from hangworthy.settings import Settings

FORM, ELSEWHERE = "https://form.example", "https://elsewhere.example"
BODY = {"works": [WORK], "venue": OWN}


@pytest.fixture
def doors(client: TestClient, store: History, clock: Clock) -> Doors:
    return Doors(client, store, clock)


def public_key(doors: Doors, *, origins: tuple[str, ...] = (FORM,), **more: Any) -> str:
    rates = {name: more.pop(name) for name in ("per_minute", "per_address") if name in more}
    return add_key(doors.client, doors.store, doors.clock, "evaluate", venues=(OWN,), browser=ForBrowsers(origins=origins, **rates), **more)


def ask(client: TestClient, token: str | None, origin: str | None = FORM, query: str = "?record=false", body: Any = BODY) -> Any:
    headers = ({"origin": origin} if origin else {}) | ({"authorization": f"Bearer {token}"} if token else {})
    return client.post(f"/evaluations{query}", json=body, headers=headers)


def test_it_evaluates_and_its_page_may_read_the_answer(doors: Doors) -> None:
    answer = ask(doors.client, public_key(doors))
    assert answer.status_code == 200
    assert answer.json()["works"][0]["ref"] == "a"
    assert "id" not in answer.json()
    assert answer.headers["access-control-allow-origin"] == FORM
    assert answer.headers["vary"] == "Origin"
    assert "retry-after" in answer.headers["access-control-expose-headers"]
    assert "access-control-allow-credentials" not in answer.headers
    assert answer.headers["ratelimit-policy"] == '"address";q=120;w=60, "key";q=1200;w=60'
    assert answer.headers["ratelimit"] == '"address";r=119;t=1, "key";r=1199;t=1'


@pytest.mark.parametrize("query", ["", "?record=true"])
def test_it_records_nothing(doors: Doors, query: str) -> None:
    answer = ask(doors.client, public_key(doors), query=query)
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/forbidden")
    assert "record=false" in answer.json()["detail"]


def test_venues_beyond_its_own_are_not_there(doors: Doors) -> None:
    token = public_key(doors)
    unknown, other = (ask(doors.client, token, body={**BODY, "venue": venue}) for venue in ("mouse", OTHER))
    assert (unknown.status_code, other.status_code) == (422, 422)
    assert unknown.json()["errors"][0]["message"].replace("mouse", "") == other.json()["errors"][0]["message"].replace(OTHER, "")


@pytest.mark.parametrize(
    "origin", [ELSEWHERE, None, "null", "https://form.example:8443", "http://form.example", "https://form.example.org"]
)
def test_elsewhere_it_is_refused_and_the_page_may_not_read_why(doors: Doors, origin: str | None) -> None:
    public_key(doors, origins=(ELSEWHERE,))  # another key that is welcome there does not help this one
    answer = ask(doors.client, public_key(doors), origin)
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/forbidden")
    assert "access-control-allow-origin" not in answer.headers


def preflight(client: TestClient, origin: str, method: str = "POST", path: str = "/evaluations?record=false") -> Any:
    asked = {"origin": origin, "access-control-request-method": method, "access-control-request-headers": "authorization,content-type"}
    return client.options(path, headers=asked)


def test_a_browser_that_asks_first_is_let_in_from_origins_of_valid_keys(doors: Doors) -> None:
    public_key(doors)
    public_key(doors, origins=(ELSEWHERE,), revoked_at=NOW)
    answer = preflight(doors.client, FORM)
    assert answer.status_code == 204
    assert answer.headers["access-control-allow-origin"] == FORM
    assert answer.headers["access-control-allow-methods"] == "POST"
    assert {"authorization", "content-type"} <= set(answer.headers["access-control-allow-headers"].split(", "))
    assert "Origin" in answer.headers["vary"]
    for origin, path in ((ELSEWHERE, "/evaluations"), ("null", "/evaluations"), (FORM, "/works/a"), (FORM, "/venues/annexe")):
        assert "access-control-allow-origin" not in preflight(doors.client, origin, path=path).headers, (origin, path)


def test_a_page_may_read_that_its_key_is_no_good(doors: Doors) -> None:
    token = public_key(doors)
    revoked = public_key(doors, revoked_at=NOW)
    for bad in (revoked, token + "x", None):
        answer = ask(doors.client, bad)
        assert (answer.status_code, answer.headers["access-control-allow-origin"]) == (401, FORM)


def test_other_keys_are_not_opened_to_the_pages_of_a_public_one(doors: Doors) -> None:
    public_key(doors)
    answer = ask(doors.client, doors.keys["evaluate"])
    assert answer.status_code == 200
    assert "access-control-allow-origin" not in answer.headers


def test_faults_of_input_and_of_the_rate_can_be_read_by_the_page(doors: Doors) -> None:
    token = public_key(doors, per_address=2)
    bad = ask(doors.client, token, body={"works": [{**WORK, "width_mm": "wide"}], "venue": OWN})
    assert (bad.status_code, bad.headers["access-control-allow-origin"]) == (422, FORM)
    assert ask(doors.client, token).status_code == 200
    for _ in range(2):  # the second is refused without asking the store
        over = ask(doors.client, token)
        assert (over.status_code, over.json()["type"]) == (429, "/problems/too-many-requests")
        assert (over.headers["retry-after"], over.headers["access-control-allow-origin"]) == ("30", FORM)
        assert over.json()["detail"] == "Send it again in 30 s."
    doors.clock.now = NOW + timedelta(seconds=29.5)
    assert ask(doors.client, token).headers["retry-after"] == "1"
    doors.clock.now = NOW + timedelta(seconds=30)
    assert ask(doors.client, token).status_code == 200
    assert ask(doors.client, token).status_code == 429
    assert ask(doors.client, public_key(doors)).status_code == 200


def beside(store: History, clock: Clock) -> History:
    """Return another process's store over the same database; the one in memory can only be shared."""
    return sql_store(store._database.writing.url.render_as_string(hide_password=False), clock) if isinstance(store, SqlHistory) else store


def test_two_processes_on_one_store_count_together(doors: Doors, store: History, clock: Clock) -> None:
    token = public_key(doors, per_minute=6, per_address=6)
    with TestClient(recording_app(beside(store, clock), clock), raise_server_exceptions=False) as other:
        found = [ask(client, token).status_code for client in (doors.client, other) * 5]
    assert sorted(found) == [200] * 6 + [429] * 4


def test_other_keys_have_no_rate(doors: Doors) -> None:
    public_key(doors, per_minute=1, per_address=1)
    assert [ask(doors.client, doors.keys["evaluate"]).status_code for _ in range(5)] == [200] * 5


def test_origins_of_the_setting_go_on_to_be_answered_by_it(store: History, clock: Clock) -> None:
    settings = Settings(cors_origins=(FORM,))
    with TestClient(recording_app(store, clock, settings), raise_server_exceptions=False) as client:
        doors = Doors(client, store, clock)
        public_key(doors)
        assert preflight(client, FORM).headers["access-control-allow-methods"].count("POST") == 1
        answer = ask(client, doors.keys["evaluate"])
        assert (answer.status_code, answer.headers["access-control-allow-origin"]) == (200, FORM)
        with_public = ask(client, public_key(doors))
        assert (with_public.status_code, with_public.headers["access-control-allow-origin"]) == (200, FORM)


def test_clients_are_told_apart_by_their_network() -> None:
    same = [("2001:db8::1", "2001:db8::ffff"), ("192.0.2.7", "::ffff:192.0.2.7"), ("fe80::1%eth0", "fe80::1"), ("", "")]
    other = [("2001:db8::1", "2001:db8:0:1::1"), ("192.0.2.7", "192.0.2.8"), ("", "192.0.2.7")]
    assert all(_visitor("k", one) == _visitor("k", two) for one, two in same)
    assert all(_visitor("k", one) != _visitor("k", two) for one, two in other)
    assert _visitor("k", "192.0.2.7") != _visitor("l", "192.0.2.7")


@pytest.mark.anyio
async def test_with_the_store_away_what_was_known_of_origins_counts_on(clock: Clock) -> None:
    history, ticks = MemoryHistory(), [0.0]
    browsers = Browsers(history, clock, lambda: ticks[0])
    key = ApiKey(id="k", name="k", scopes=("evaluate",), venues=(OWN,), made_at=NOW, browser=ForBrowsers(origins=(FORM,)))
    await history.keys.add(key, b"")
    assert await browsers.welcome(FORM)
    history.keys.away = Busy("away")
    ticks[0] = 10.0
    assert await browsers.welcome(FORM)
    assert not await browsers.welcome(ELSEWHERE)
    history.keys.away = None
    await history.keys.revoke("k", NOW)
    assert not await browsers.welcome(FORM)


def test_without_a_store_to_count_in_a_public_key_waits(clock: Clock) -> None:
    history = MemoryHistory()
    with TestClient(recording_app(history, clock), raise_server_exceptions=False) as client:
        doors = Doors(client, history, clock)
        token = public_key(doors)
        history.keys.away = Busy("away", retry_after=7)
        answer = ask(client, token)
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "7")


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"
