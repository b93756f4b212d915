"""Entity tags on every GET: a table of all routes, complete by construction, and If-None-Match as RFC 9110, 13.1.2 has it."""

import functools
import re
from collections.abc import Callable
from typing import Any

import pytest
from litestar.testing import TestClient

from api.serving import tiny_app

# How each answer may be kept: by anybody (no key is needed), by this caller alone, not at all; or for ten minutes without asking again.
PUBLIC, ALONE, NOT = "no-cache", "private, no-cache", "no-store"
A_WHILE = "public, max-age=600, stale-while-revalidate=86400"

ROUTES: dict[str, tuple[str, str]] = {
    "/": ("/", PUBLIC),
    "/openapi.json": ("/openapi.json", PUBLIC),
    "/problems/{name}": ("/problems/not-found", PUBLIC),
    "/health/live": ("/health/live", NOT),
    "/health/ready": ("/health/ready", NOT),
    "/metrics": ("/metrics", NOT),
    "/packs": ("/packs", ALONE),
    "/rules": ("/rules", ALONE),
    "/rules/{code}": ("/rules/tiny.gap", ALONE),
    "/limits": ("/limits?venue=annexe", ALONE),
    "/venues": ("/venues", ALONE),
    "/venues/{name}": ("/venues/annexe", ALONE),
    "/venues/{name}/versions": ("/venues/annexe/versions", ALONE),
    "/evaluations": ("/evaluations", ALONE),
    "/evaluations/{id}": ("/evaluations/{id}", ALONE),
    "/evaluations/{id}/changes": ("/evaluations/{id}/changes?since={id}", ALONE),
    "/evaluations/{id}/sheet": ("/evaluations/{id}/sheet", ALONE),
    "/form": ("/form", ALONE),
    "/form/hints.js": ("/form/hints.js", A_WHILE),
    "/plans/{id}": ("/plans/{plan}", ALONE),
    "/works/{ref}/history": ("/works/a/history", ALONE),
}


def test_the_table_is_complete() -> None:
    routes = {re.sub(r":\w+", "", route.path) for route in tiny_app().routes if "GET" in getattr(route, "methods", ())}
    assert routes == set(ROUTES)


@pytest.fixture
def asked(client: TestClient) -> Callable[..., Any]:
    id_ = client.post("/evaluations", json={"works": [{"ref": "a"}]}).json()["id"]

    def ask(address: str, method: str = "GET", **headers: str) -> Any:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        if "{plan}" in address:
            address = address.replace("{plan}", planned())
        return client.request(method, address.replace("{id}", id_), headers=named)

    @functools.cache
    def planned() -> str:
        """Ask for a plan of so many works that it is made in the background, and cancel it, so that it stays as it is."""
        frame = {"name": "A4", "width_mm": 210, "height_mm": 297, "count": 1}
        answer = client.post("/plans/frames", json={"works": [{"ref": f"a-{place}"} for place in range(301)], "frames": [frame]})
        assert answer.status_code == 202, answer.text
        client.delete(answer.headers["location"])
        return str(answer.json()["id"])

    return ask


@pytest.mark.parametrize("route", sorted(ROUTES))
def test_what_was_got_is_not_sent_twice(route: str, asked: Any) -> None:
    address, kept = ROUTES[route]
    first = asked(address)
    assert (first.status_code, first.headers["cache-control"]) == (200, kept)
    if kept == NOT:
        assert "etag" not in first.headers
        assert asked(address, if_none_match="*").status_code == 200
        return
    tag = first.headers["etag"]
    assert re.fullmatch(r'"[!#-~]{16,}"', tag), "a strong tag"  # RFC 9110, 8.8.3
    assert ("Authorization" in first.headers.get("vary", "")) == (kept == ALONE)
    for known in (tag, f"W/{tag}", f'"other", {tag}', f'W/"x",{tag},"y"', "*", f' "a,b" , W/{tag}'):
        again = asked(address, if_none_match=known)
        assert (again.status_code, again.content) == (304, b""), known
        assert again.headers["etag"] == tag
        assert again.headers["cache-control"] == kept
        assert not {"content-type", "content-length"} & set(again.headers) or again.headers.get("content-length") == "0"
        assert asked(address, "HEAD", if_none_match=known).status_code == 304
    for other in ('"other"', tag.strip('"'), tag[:-2] + '"', "", "W/", f'"{tag}"'):
        again = asked(address, if_none_match=other)
        assert (again.status_code, again.content) == (200, first.content), other
    head = asked(address, "HEAD")
    assert (head.headers["etag"], head.content) == (tag, b"")


def test_the_same_bytes_have_the_same_tag_and_others_another(asked: Any) -> None:
    tags = [asked(address).headers["etag"] for address in ("/rules", "/rules?pack=tiny", "/rules/tiny.gap", "/rules/tiny.weave")]
    assert tags[0] == tags[1]
    assert len({*tags}) == 3


def test_a_change_is_seen(client: TestClient) -> None:
    before = client.get("/evaluations").headers["etag"]
    id_ = client.post("/evaluations", json={"works": [{"ref": "a"}, {"ref": "b"}]}).json()["id"]
    assert client.get("/evaluations", headers={"if-none-match": before}).status_code == 200
    tag = client.get(f"/evaluations/{id_}").headers["etag"]
    client.delete("/works/a")
    assert client.get(f"/evaluations/{id_}", headers={"if-none-match": tag}).status_code == 200
    tag = client.get("/venues/annexe").headers["etag"]
    changed = client.put("/venues/annexe", json={"title": "New"}, headers={"if-match": tag})
    assert changed.status_code == 200
    assert client.get("/venues/annexe", headers={"if-none-match": tag}).status_code == 200
    assert client.get("/venues/annexe", headers={"if-none-match": changed.headers["etag"]}).status_code == 304


def test_several_lines_of_the_header_are_one_list(asked: Any, client: TestClient) -> None:
    tag = asked("/packs").headers["etag"]
    headers = [("if-none-match", '"x"'), ("if-none-match", tag)]
    assert client.get("/packs", headers=headers).status_code == 304


def test_problems_and_answers_to_post_are_not_kept(client: TestClient) -> None:
    assert client.get("/nowhere").headers["cache-control"] == NOT
    assert client.get("/rules/none").headers["cache-control"] == NOT
    made = client.post("/evaluations", json={"works": [{"ref": "a"}]}, headers={"if-none-match": "*"})
    assert made.status_code == 201
    assert "etag" not in made.headers


def test_the_tag_needs_no_history(client: TestClient) -> None:
    assert TestClient(tiny_app()).get("/packs").headers["etag"] == client.get("/packs").headers["etag"]
