"""Recording: kept and given again to the byte, listed in pages, told apart, asked again, erased."""

import asyncio
import hashlib
import json
import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from urllib.parse import quote

import pytest
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import NOW, Clock, recording_app, tiny_app, tiny_catalogue
from api.tiny_pack import tiny_pack
from hangworthy.api.book import Book
from hangworthy.api.reviewing import Otherwise, Review
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.history.port import Busy, History, Idempotency, NewEvaluation, NoSpace
from hangworthy_canvas import PACK as CANVAS
from history.making import Maker

GOOD = {"ref": "a", "kind": "panel", "artist_ref": "kim", "tiny": {"gap_mm": 2, "keyed": True}}
BAD = {"ref": "b", "kind": "panel", "tiny": {"gap_mm": "9 mm", "keyed": True}}


def record(client: TestClient, *works: Any, headers: dict[str, str] | None = None, **more: Any) -> Any:
    response = client.post("/evaluations", json={"works": list(works), **more}, headers=headers)
    assert response.status_code == 201, response.text
    return response


def test_a_recorded_evaluation_is_given_again_to_the_byte(client: TestClient) -> None:
    made = record(client, GOOD)
    id_ = made.json()["id"]
    assert made.headers["location"] == f"/evaluations/{id_}"
    again = client.get(made.headers["location"])
    assert (again.status_code, again.content) == (200, made.content)
    for tag in (again.headers["etag"], f'"other", W/{again.headers["etag"]}', "*"):
        unchanged = client.get(made.headers["location"], headers={"if-none-match": tag})
        assert (unchanged.status_code, unchanged.content, unchanged.headers["etag"]) == (304, b"", again.headers["etag"])
    assert client.get(made.headers["location"], headers={"if-none-match": '"other"'}).status_code == 200


def test_record_false_keeps_nothing_on_either_way(client: TestClient) -> None:
    lane = client.post("/evaluations?record=false", json={"works": [GOOD]})
    framework = client.post("/evaluations?record=false", json={"works": [GOOD]}, headers={"origin": "https://form.example"})
    assert (lane.status_code, lane.content) == (framework.status_code, framework.content)
    assert lane.status_code == 200
    assert "id" not in lane.json()
    assert client.get("/evaluations").json() == {"items": []}


def test_record_true_and_no_wish_at_all_both_record_on_either_way(client: TestClient) -> None:
    for query in ("", "?record=true"):
        for headers in ({}, {"origin": "https://form.example"}):
            assert client.post(f"/evaluations{query}", json={"works": [GOOD]}, headers=headers).status_code == 201
    assert len(client.get("/evaluations").json()["items"]) == 4


def test_both_ways_record_alike(client: TestClient) -> None:
    lane, framework = record(client, GOOD), record(client, GOOD, headers={"origin": "https://form.example"})

    def told(response: Any) -> Any:
        plain = response.json()
        headers = {name: value for name, value in response.headers.items() if name not in ("location", "x-request-id")}
        return plain | {"id": None}, headers

    assert told(lane) == told(framework)


def test_the_same_key_and_body_give_the_same_answer_again(client: TestClient) -> None:
    first = record(client, GOOD, headers={"idempotency-key": "k-1"})
    for key in ("k-1", '"k-1"'):
        again = record(client, GOOD, headers={"idempotency-key": key})
        assert (again.content, again.headers["location"]) == (first.content, first.headers["location"])
    other = client.post("/evaluations", json={"works": [BAD]}, headers={"idempotency-key": "k-1"})
    assert (other.status_code, other.json()["type"]) == (422, "/problems/other-body")
    assert len(client.get("/evaluations").json()["items"]) == 1


def test_a_key_that_led_to_nothing_is_free_again(client: TestClient) -> None:
    headers = {"idempotency-key": "k-2"}
    assert client.post("/evaluations", json={"works": [{"ref": "a", "kind": "plum"}]}, headers=headers).status_code == 422
    record(client, GOOD, headers=headers)


def test_a_key_whose_request_still_runs_is_told_to_wait(client: TestClient, store: History, clock: Clock) -> None:
    body = json.dumps({"works": [GOOD]}).encode()
    one = Idempotency(owner="", key="k-3", digest=hashlib.sha256(b"POST /evaluations\n" + body).digest())
    with client.portal() as portal:
        assert portal.call(store.begin, one, clock()) is None
    headers = {"idempotency-key": "k-3", "content-type": "application/json"}
    waiting = client.post("/evaluations", content=body, headers=headers)
    assert (waiting.status_code, waiting.json()["type"], waiting.headers["retry-after"]) == (409, "/problems/still-running", "1")
    with client.portal() as portal:
        portal.call(store.abandon, one)
    assert client.post("/evaluations", content=body, headers=headers).status_code == 201


@pytest.mark.parametrize("key", ["", '""', "x" * 256, "ä", "a\tb"])
def test_a_bad_key_is_refused(client: TestClient, key: str) -> None:
    response = client.post("/evaluations", json={"works": [GOOD]}, headers={"idempotency-key": key.encode("latin-1")})
    assert (response.status_code, response.json()["type"]) == (400, "/problems/bad-idempotency-key")


def pages(client: TestClient, path: str, relation: str = "next") -> Iterator[list[str]]:
    """Follow the links of one relation from a path to the end."""
    while path:
        response = client.get(path)
        assert response.status_code == 200, response.text
        yield [item["id"] for item in response.json()["items"]]
        links = dict(reversed(one) for one in re.findall(r'<([^>]*)>; rel="(\w+)"', response.headers.get("link", "")))
        path = links.get(relation, "")


def test_pages_hold_every_record_once_in_both_directions(client: TestClient, clock: Clock) -> None:
    ids = []
    for number in range(7):
        clock.now = NOW + timedelta(minutes=number)
        ids.append(record(client, {**GOOD, "ref": f"w{number}"}).json()["id"])
    newest_first = ids[::-1]
    forth = list(pages(client, "/evaluations?limit=3"))
    assert forth == [newest_first[:3], newest_first[3:6], newest_first[6:]]
    back = list(pages(client, f"/evaluations?limit=3&before={ids[0]}", "prev"))
    assert back == [newest_first[3:6], newest_first[:3]]
    assert [one for page in pages(client, "/evaluations?limit=1&outcome=ready") for one in page] == newest_first
    assert "link" not in client.get("/evaluations?limit=7").headers


def test_every_filter_narrows(client: TestClient, clock: Clock) -> None:
    first = record(client, GOOD).json()["id"]
    clock.now = NOW + timedelta(hours=1)
    second = record(client, BAD, venue="annexe", stage="hanging").json()["id"]
    both = [second, first]
    for query, expected in {
        "venue=annexe": [second],
        "venue=nowhere": [],
        "artist_ref=kim": [first],
        "ref=b": [second],
        "outcome=ready": [first],
        "stage=hanging": [second],
        "unmet=tiny.gap": [second],
        "unmet=tiny.weave": [],
        "pack=tiny": both,
        "pack=tiny&pack_version=1.2": both,
        "pack_version=9": [],
        "since=2026-03-31T12:30:00Z": [second],
        "until=2026-03-31T14:30:00%2B02:00": [first],
    }.items():
        assert [item["id"] for item in client.get(f"/evaluations?{query}").json()["items"]] == expected, query


@pytest.mark.parametrize(
    "query",
    ["limit=0", "limit=201", "limit=x", "limit=1&limit=2", "after=1", "before=x", "outcome=good", "stage=later", "since=2026-03-31",
     "since=2026-03-31T12:00:00", "until=soon", "ref=", "venue=%00", f"unmet={'x' * 201}", "nope=1",
     "after=00000000-0000-7000-8000-000000000000&before=00000000-0000-7000-8000-000000000000"],
)  # fmt: skip
def test_a_query_that_cannot_be_meant_is_refused(client: TestClient, query: str) -> None:
    response = client.get(f"/evaluations?{query}")
    assert (response.status_code, response.json()["type"]) == (422, "/problems/invalid-query")


def test_every_fault_of_a_query_is_told_with_its_parameter(client: TestClient) -> None:
    answer = client.get("/evaluations?outcome=bad&stage=bad&limit=0&nope=1&since=x&limit=3").json()
    assert answer["detail"] == "6 parameters need to be put right; see errors."
    assert [(one["pointer"], one["parameter"]) for one in answer["errors"]] == [
        ("", "outcome"), ("", "stage"), ("", "since"), ("", "limit"), ("", "limit"), ("", "nope"),
    ]  # fmt: skip
    assert answer["errors"][0]["message"].startswith("The query parameter outcome must be one of: ready, ")
    (one,) = client.get("/rules?pack=tyny").json()["errors"]
    assert one == {"pointer": "", "message": "There is no pack “tyny”. Did you mean “tiny”?", "parameter": "pack"}
    body = client.post("/evaluations", json={"works": [{"ref": "a", "width_mm": "9 kg"}]}).json()
    assert "parameter" not in body["errors"][0]


def test_a_rule_that_nobody_knows_is_no_empty_list(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        record(client, BAD)
        for filters, sentence in {
            "unmet=tiny.gapp": "There is no rule “tiny.gapp”, and no evaluation was kept with one. Did you mean “tiny.gap”?",
            "pack=tyny": "There is no pack “tyny”, and no evaluation was kept with one. Did you mean “tiny”?",
        }.items():
            refused = client.get(f"/evaluations?{filters}&venue=house&limit=0")
            assert refused.status_code == 422
            assert {one["parameter"]: one["message"] for one in refused.json()["errors"]} == {
                filters.partition("=")[0]: sentence,
                "limit": "The query parameter limit must be a whole number from 1 to 200.",
            }
        assert client.get("/evaluations?unmet=tiny.weave&venue=harbr").json() == {"items": []}  # a venue may be one that is not to be known
    # Packs that are gone have left their evaluations behind.
    with TestClient(recording_app(store, clock)) as client:
        assert client.get("/evaluations?unmet=gone.rule").status_code == 422
    made = Maker()
    asyncio.run(_kept(store, made.evaluation(made.work("w", unmet=("gone.rule",)), venue="house", packs={"gone": "1.0.0"})))
    with TestClient(recording_app(store, clock)) as client:
        for filters in ("unmet=gone.rule", "pack=gone"):
            assert len(client.get(f"/evaluations?{filters}").json()["items"]) == 1
            assert client.get(f"/evaluations?{filters}&ref=elsewhere").json() == {"items": []}


async def _kept(store: History, one: NewEvaluation) -> None:
    await store.start()
    await store.record(one)
    await store.stop()


def test_a_works_life_and_what_changed_in_it(client: TestClient, clock: Clock) -> None:
    first = record(client, BAD).json()["id"]
    clock.now = NOW + timedelta(days=9)
    second = record(client, {**BAD, "title": "Closed", "tiny": {"gap_mm": "2 mm", "keyed": True}}, stage="arrival").json()["id"]
    record(client, GOOD)
    life = client.get("/works/b/history").json()["items"]
    assert [(one["id"], one["stage"], one["outcome"], one["unmet"]) for one in life] == [
        (second, "arrival", "ready", []),
        (first, "offer", "prepare", ["tiny.gap"]),
    ]
    assert [one for page in pages(client, "/works/b/history?limit=1") for one in page] == [second, first]
    changes = client.get(f"/evaluations/{second}/changes?since={first}").json()["changes"]
    assert changes["stage"] == ["offer", "arrival"]
    (work,) = changes["works"]
    assert (work["ref"], work["before"]["outcome"], work["after"]["outcome"]) == ("b", "prepare", "ready")
    assert work["facts"] == [
        {"pointer": "/tiny/gap_mm", "change": "changed", "before": "9 mm", "after": "2 mm"},
        {"pointer": "/title", "change": "given", "after": "Closed"},
    ]
    gap = next(one for one in work["findings"] if one["rule"] == "tiny.gap")
    assert (gap["before"]["state"], gap["after"]["state"]) == ("unmet", "met")
    assert {"state", "measured"} <= {*gap["differs"]}
    assert client.get(f"/evaluations/{first}/changes?since={first}").json()["changes"] == {}


def test_what_is_not_there_is_not_found(client: TestClient) -> None:
    id_, none = record(client, GOOD).json()["id"], "00000000-0000-7000-8000-000000000000"
    for path in (
        f"/evaluations/{none}",
        "/evaluations/x",
        f"/evaluations/{none}/changes?since={id_}",
        f"/evaluations/{id_}/changes?since={none}",
    ):
        assert client.get(path).status_code == 404, path
    assert client.post(f"/evaluations/{none}/replay").status_code == 404
    assert client.get(f"/evaluations/{id_}/changes").status_code == 422
    assert client.get("/works/nobody/history").json() == {"items": []}


def test_a_replay_with_the_same_packs_and_venue_is_the_same_to_the_byte_but_for_the_time(client: TestClient, clock: Clock) -> None:
    made = record(client, GOOD, {**BAD, "tiny": {"gap_mm": "5 ± 1"}}, {"ref": "c"}, venue="annexe")
    clock.now = NOW + timedelta(days=400)
    for query in ("", "?venue_version=stored", "?venue_version=current"):
        response = client.post(f"{made.headers['location']}/replay{query}")
        assert response.status_code == 200, response.text
        told = response.json()
        assert (told["identical"], told["changes"], told["causes"], told["erased"]) == (True, {}, [], 0)
        assert told["evaluation"]["evaluated_at"] == "2027-05-05T12:00:00Z"
        content = response.content.partition(b'"evaluation":')[2].removesuffix(b"}")
        assert content.replace(b"2027-05-05", b"2026-03-31") == made.content


def test_days_are_counted_up_to_the_day_of_the_record_whenever_it_is_asked_again(store: History, clock: Clock) -> None:
    """A canvas that was one day old then is one day old in every replay; asked as a new request it has dried."""
    wet = {"ref": "a", "kind": "stretched-canvas", "technique": "oil", "finished_on": "2026-03-30"}

    def age(answer: Any) -> tuple[Any, str]:
        work = answer["works"][0]
        return work["counted"][0]["value"], next(one["state"] for one in work["findings"] if one["rule"] == "canvas.dry")

    built = build_catalogue([installed_pack(tiny_pack()), installed_pack(CANVAS)])
    with TestClient(recording_app(store, clock, catalogue=built)) as client:
        made = record(client, wet)
        clock.now = NOW + timedelta(days=60)
        again = client.post(f"{made.headers['location']}/replay").json()
        later = record(client, wet)
        changes = client.get(f"{later.headers['location']}/changes?since={made.json()['id']}").json()
    review, otherwise = asyncio.run(_reviewed(store, built))
    assert age(made.json()) == (1.0, "unmet")
    assert (again["identical"], age(again["evaluation"])) == (True, (1.0, "unmet"))
    assert age(later.json()) == (61.0, "met")
    assert [(one["pointer"], one["before"], one["after"]) for one in changes["changes"]["works"][0]["facts"]] == [
        ("/canvas/age_days", 1.0, 61.0)
    ]
    assert (review.asked, otherwise) == (2, [])


def test_a_replay_after_the_venue_changed_names_the_rule_and_the_limit(client: TestClient, clock: Clock) -> None:
    made = record(client, {**BAD, "tiny": {"gap_mm": 7, "keyed": True}})
    venue = client.get("/venues/house")
    content = {**venue.json()["content"], "limits": {"tiny.gap_mm": {"value": "8 mm", "reason": "Deep gaps are wanted."}}}
    assert client.put("/venues/house", json=content, headers={"if-match": venue.headers["etag"]}).status_code == 200
    told = client.post(f"{made.headers['location']}/replay").json()
    assert not told["identical"]
    (cause,) = told["causes"]
    assert (cause["ref"], cause["rule"], cause["before"], cause["after"]) == ("b", "tiny.gap", "unmet (prepare)", "met (prepare)")
    (limit,) = cause["limits"]
    assert (limit["name"], limit["before"]["value"], limit["after"]["value"]) == ("tiny.gap_mm", 5.0, 8.0)
    assert limit["after"]["reason"] == "Deep gaps are wanted."
    assert limit["before"]["source"]["provenance"] == "own policy"
    assert told["changes"]["venue"] == ["house, version 1", "house, version 2"]
    assert client.post(f"{made.headers['location']}/replay?venue_version=stored").json()["identical"]


async def _reviewed(store: History, catalogue: Catalogue | None = None) -> tuple[Review, list[Otherwise]]:
    """Ask everything again, as a process of its own does beside the service."""
    await store.start()
    book = Book(catalogue or tiny_catalogue(), (), "", store)
    await book.refresh()
    review = Review(book)
    found = [one async for one in review.all(store)]
    await store.stop()
    return review, found


def test_everything_asked_again_tells_what_would_be_decided_otherwise(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        other = record(client, GOOD, {**BAD, "tiny": {"gap_mm": 7, "keyed": True}}).json()["id"]
        record(client, GOOD, venue="annexe")
        record(client, {**GOOD, "ref": "gone"})
        client.delete("/works/gone")
    review, found = asyncio.run(_reviewed(store))
    assert (review.asked, review.erased, review.unread, found) == (2, 1, 0, [])
    with TestClient(recording_app(store, clock)) as client:
        venue = client.get("/venues/house")
        content = {**venue.json()["content"], "limits": {"tiny.gap_mm": {"value": "8 mm", "reason": "Deep gaps are wanted."}}}
        assert client.put("/venues/house", json=content, headers={"if-match": venue.headers["etag"]}).status_code == 200
    review, (one,) = asyncio.run(_reviewed(store))
    assert (review.asked, one.id, one.venue) == (2, other, "house")
    assert [(then.ref, then.outcome, now.outcome) for then, now in zip(one.then, one.now, strict=True)] == [("b", "prepare", "ready")]
    assert [(cause.rule, cause.ref) for cause in one.causes] == [("tiny.gap", "b")]


def test_a_replay_under_other_packs_says_so(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        path = record(client, BAD).headers["location"]
    newer = tiny_pack("2.0")
    with TestClient(recording_app(store, clock, catalogue=build_catalogue([installed_pack(newer)]))) as client:
        told = client.post(f"{path}/replay").json()
    assert not told["identical"]
    assert [(one["name"], one["before"].split()[0], one["after"].split()[0]) for one in told["changes"]["packs"]] == [
        ("tiny", "1.2", "2.0")
    ]
    assert told["causes"] == []


def test_what_todays_packs_cannot_read_is_told_and_not_guessed(store: History, clock: Clock) -> None:
    with TestClient(recording_app(store, clock)) as client:
        path = record(client, GOOD).headers["location"]
        client.delete("/works/a")
        response = client.post(f"{path}/replay")
    assert (response.status_code, response.json()["type"]) == (409, "/problems/cannot-replay")


def test_what_an_erased_work_was_told_is_not_remembered_either(client: TestClient) -> None:
    def kept() -> str:
        groups = [group for one in client.app.state.service.book.evaluators.values() for group in one.outlines.groups]
        return str([memory.last for group in groups for way in group.ways for memory in way.memories.values()])

    for _ in range(2):
        record(client, {"ref": "a", "tiny": {"gap_mm": 3.125}})
    assert "3.125" in kept()
    client.delete("/works/a")
    assert "3.125" not in kept()


def test_an_erased_work_is_gone_and_leaves_digests(client: TestClient) -> None:
    path = record(client, GOOD, BAD).headers["location"]
    before = client.get(path)
    told = client.delete("/works/a").json()
    assert (told["ref"], told["evaluations"], len(told["digests"])) == ("a", 1, 1)
    after = client.get(path)
    assert [work["ref"] for work in after.json()["works"]] == ["b"]
    assert after.headers["etag"] != before.headers["etag"]
    assert client.get("/works/a/history").json() == {"items": []}
    assert client.get("/evaluations?ref=a").json() == {"items": []}
    assert client.delete("/works/a").json()["evaluations"] == 0
    assert client.post(f"{path}/replay").json()["erased"] == 1


@pytest.mark.parametrize("ref", ["a/b", "../x", "a b", "%2F", "ä", "a?b#c"])
def test_a_ref_with_any_sign_is_reached(client: TestClient, ref: str) -> None:
    record(client, {**GOOD, "ref": ref})
    assert len(client.get(f"/works/{quote(ref, safe='')}/history").json()["items"]) == 1
    assert client.delete(f"/works/{quote(ref, safe='')}").json()["evaluations"] == 1


def test_a_full_queue_and_a_full_disk_are_told_and_the_rest_goes_on() -> None:
    store = MemoryHistory()
    with TestClient(recording_app(store)) as client:
        for failure, status, kind in ((Busy("full", 7), 503, "unavailable"), (NoSpace(), 507, "no-space")):
            store.failing = failure
            for headers in ({}, {"origin": "https://form.example"}, {"idempotency-key": "k"}):
                response = client.post("/evaluations", json={"works": [GOOD]}, headers=headers)
                assert (response.status_code, response.json()["type"]) == (status, f"/problems/{kind}")
                assert response.headers.get("retry-after") == ("7" if status == 503 else None)
            assert client.post("/evaluations?record=false", json={"works": [GOOD]}).status_code == 200
            assert client.get("/health/ready").json()["status"] == "degraded"
        store.failing = None
        assert not store.kept
        store.away = Busy("away", 3)
        assert client.get("/health/ready").status_code == 503
        assert client.get("/evaluations").headers["retry-after"] == "3"
        assert client.post("/evaluations?record=false", json={"works": [GOOD]}).status_code == 200
        assert client.get("/metrics").status_code == 200


def test_without_a_history_it_is_said_so() -> None:
    client = TestClient(tiny_app())
    for method, path in (("GET", "/evaluations"), ("GET", "/works/a/history"), ("DELETE", "/works/a"), ("PUT", "/venues/x"),
                         ("GET", "/venues/house/versions"), ("POST", "/evaluations/x/replay")):  # fmt: skip
        response = client.request(method, path)
        assert (response.status_code, response.json()["type"]) == (404, "/problems/no-history"), path


def test_a_failure_behind_the_lane_is_not_tried_twice() -> None:
    store, tries = MemoryHistory(), []

    async def broken(one: Any) -> Any:
        tries.append(one)
        raise RuntimeError("the secret title")

    store.record = broken  # type: ignore[method-assign]
    with TestClient(recording_app(store), raise_server_exceptions=False) as client:
        response = client.post("/evaluations", json={"works": [GOOD]})
    assert (response.status_code, len(tries)) == (500, 1)
    assert "secret" not in response.text


def test_start_and_stop_go_with_the_service() -> None:
    store = MemoryHistory()
    with TestClient(recording_app(store, catalogue=tiny_catalogue())):
        assert store.life == ["start"]
    assert store.life == ["start", "stop"]
