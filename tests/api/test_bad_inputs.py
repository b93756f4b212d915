"""Bad inputs, one kind to a row: its status, where the fault is, and a piece of the sentence. Never a 500, never a trace."""

import json
import time
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from litestar.testing import TestClient

from api.bad_inputs import BODIES, HOSTILE, JSON, REQUESTS, work
from api.serving import tiny_app

CLIENT = TestClient(tiny_app(), raise_server_exceptions=False)
MOST_WORDS = 25


def encoded(body: Any) -> bytes:
    return body if isinstance(body, bytes) else json.dumps(body, ensure_ascii=False).encode()


def check_problem(response: Any, status: int) -> dict[str, Any]:
    """Check what every problem has, and that each sentence can be read in one breath."""
    assert response.status_code == status, response.text[:500]
    assert response.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = response.json()
    assert {"type", "title", "status", "detail", "instance"} <= problem.keys()
    assert problem["status"] == status
    assert problem["type"].startswith("/problems/")
    assert "Traceback" not in response.text
    for sentence in [problem["detail"], *(one["message"] for one in problem.get("errors", []))]:
        for part in sentence.replace("? ", ". ").split(". "):
            assert len(part.split()) < MOST_WORDS, part
    return problem


def test_there_are_at_least_a_hundred_kinds() -> None:
    names = [row[0] for row in BODIES] + [row[0] for row in REQUESTS]
    assert len(names) >= 100


@pytest.mark.parametrize(("body", "status", "pointer", "piece"), [row[1:] for row in BODIES], ids=[row[0] for row in BODIES])
def test_a_bad_body_is_told_where_and_how(body: Any, status: int, pointer: str, piece: str) -> None:
    problem = check_problem(CLIENT.post("/evaluations", content=encoded(body), headers=JSON), status)
    if status == 413:
        assert piece in problem["detail"]
        return
    told = {one["pointer"]: one["message"] for one in problem["errors"]}
    assert pointer in told, told
    assert piece in told[pointer], told


@pytest.mark.parametrize(
    ("method", "path", "headers", "body", "status", "piece"), [row[1:] for row in REQUESTS], ids=[row[0] for row in REQUESTS]
)
def test_a_bad_request_is_told_what_would_be_right(
    method: str, path: str, headers: dict[str, str], body: bytes, status: int, piece: str
) -> None:
    response = CLIENT.request(method, path, headers=headers, content=body)
    assert piece in check_problem(response, status)["detail"]
    assert (status == 405) == ("allow" in response.headers)


def test_every_fault_is_told_at_once() -> None:
    body = {
        "stage": "offr",
        "venue": "annexe",
        "works": [
            {"ref": "a", "width_mm": "9 kg", "height_mm": -1, "wall_name": "nort", "tiny": {"gap_mm": "wide", "keyed": "yes", "gaps": 1}},
            {"ref": "b", "mass_kg": "2 kg"},
            {"ref": "b", "finished_on": "31.3.2026", "price": "1_0"},
            {"title": "no reference"},
            7,
        ],
    }
    problem = check_problem(CLIENT.post("/evaluations", json=body), 422)
    assert {one["pointer"] for one in problem["errors"]} == {
        "/stage", "/works/0/width_mm", "/works/0/height_mm", "/works/0/wall_name", "/works/0/tiny/gap_mm", "/works/0/tiny/keyed",
        "/works/0/tiny/gaps", "/works/2/ref", "/works/2/finished_on", "/works/2/price", "/works/3/ref", "/works/4",
    }  # fmt: skip


def test_at_most_a_hundred_faults_are_listed_and_the_rest_counted() -> None:
    body = {"works": [{"ref": f"r{number}", "width_mm": "wide"} for number in range(250)]}
    errors = check_problem(CLIENT.post("/evaluations", json=body), 422)["errors"]
    assert len(errors) == 101
    assert errors[-1] == {"pointer": "", "message": "150 more faults not listed; put these right first."}


def test_no_more_than_forty_characters_come_back() -> None:
    secret = "s" * 30 + "\u202e\u0007" + "t" * 5000
    bodies = [work(kind=secret), work(**{secret: 1}), work(width_mm=secret), {"works": [{"ref": "a"}], "venue": secret[:79]}]
    bodies += [{"works": [{"ref": "a"}], secret: 1}, {"works": [{"ref": "a"}], "stage": secret}]
    for body in bodies:
        text = CLIENT.post("/evaluations", json=body).text
        assert "t" * 41 not in text
        assert "\u202e" not in text
        assert "\u0007" not in text


def test_a_body_in_pieces_is_measured_too() -> None:
    pieces = (b"x" * 10_000 for _ in range(300))
    check_problem(CLIENT.post("/evaluations", content=pieces, headers=JSON), 413)


@pytest.mark.parametrize("body", HOSTILE.values(), ids=HOSTILE)
def test_two_megabytes_of_faults_are_answered_soon(body: bytes) -> None:
    start = time.monotonic()
    check_problem(CLIENT.post("/evaluations", content=body, headers=JSON), 422)
    assert time.monotonic() - start < 20  # about 2 s alone on a small machine; it was minutes while every sentence was made


SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20)
VALUES = st.recursive(SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4))
NAMES = st.sampled_from(["ref", "width_mm", "kind", "framed", "finished_on", "price", "tiny", "frame", "wall_name", "currency", "x"])
LIKELY = st.fixed_dictionaries({"works": VALUES | st.lists(VALUES | st.dictionaries(NAMES, VALUES, max_size=5), max_size=4)})
BOUNDED = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None, derandomize=True)


@BOUNDED
@given(st.binary(max_size=200))
@example(b"\xff\xfe\x00\x00")
@example(b'{"works":[{"ref":"a","price":"sNaN"}]}')
def test_any_bytes_are_answered(body: bytes) -> None:
    response = CLIENT.post("/evaluations", content=body, headers=JSON)
    assert response.status_code in (200, 400, 422)
    if response.status_code != 200:
        check_problem(response, response.status_code)


@BOUNDED
@given(VALUES | LIKELY)
def test_any_json_is_answered(value: Any) -> None:
    response = CLIENT.post("/evaluations", content=json.dumps(value).encode(), headers=JSON)
    assert response.status_code in (200, 400, 422)
    if response.status_code != 200:
        assert response.json()["errors"]
        check_problem(response, response.status_code)
