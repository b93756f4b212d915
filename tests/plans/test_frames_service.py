"""Frame plans as their users meet them: over HTTP with the installed packs, on the command line, and as the picture in the README."""

import copy
import json
import time
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import httpx
import msgspec
import pytest
from litestar.testing import TestClient

from api.memory import MemoryHistory
from api.serving import STORES, installed_app, running
from hangworthy import demo
from hangworthy.api import plans_frames as plans_api
from hangworthy.cli import main
from hangworthy.plans.frames.answers import FramePlan
from hangworthy.plans.frames.reading import MOST_WORKS

DEMO: dict[str, Any] = json.loads(demo.demo_frames())
PICTURE = Path(demo.__file__).parent / "frames.svg"


def faults(client: TestClient[Any], body: Any) -> dict[str, str]:
    answer = client.post("/plans/frames", json=body)
    assert answer.status_code == 422, answer.text
    return {one["pointer"]: one["message"] for one in answer.json()["errors"]}


@pytest.fixture(scope="module")
def client() -> Any:
    with TestClient(installed_app(), raise_server_exceptions=False) as made:
        yield made


def test_the_demo_is_what_can_be_worked_out_on_paper(client: TestClient[Any]) -> None:
    """The docstring of ``demo_frames`` says how."""
    answer = client.post("/plans/frames", json=DEMO)
    assert answer.status_code == 200
    plan = msgspec.json.decode(answer.content, type=FramePlan)
    assert [one.ref for one in plan.hangs] == ["gull-1", "gull-2", "gull-3", "gull-4", "tide-1", "tide-2", "tide-3"]
    assert [one.ref for one in plan.hangs if one.how != "whole"] == ["tide-2"]
    cropped = next(one for one in plan.hangs if one.ref == "tide-2")
    assert cropped.crop_mm == (3.0, 5.0, 3.0, 5.0)
    assert cropped.image_lost_percent == 3.31  # 1 - 420 x 594 / (430 x 600) = 3.302 %, rounded up
    assert {one.ref: [change.kind for change in one.freed_by] for one in plan.stays_out} == {
        "gull-5": ["dates", "frame"],
        "tide-4": ["crop"],
    }
    assert plan.stays_out[1].freed_by[0].more_mm == (0.0, 6.0, 0.0, 6.0)
    assert [(one.frame, one.works_gained) for one in plan.one_more] == [("A3", 1), ("A2", 1)]
    assert [(one.name, one.value, one.proven) for one in plan.objectives] == [
        ("hung", 7, True), ("image_lost", 331, True), ("frame_wasted", 0, True), ("changes", 0, True),
    ]  # fmt: skip


def test_every_fault_is_told_at_once_with_its_place(client: TestClient[Any]) -> None:
    bad = copy.deepcopy(DEMO)
    bad["works"][0]["hang_until"] = "2026-01-01"
    bad["works"][1]["width_mm"] = "9 kg"
    bad["works"][2]["hang_from"] = "soon"
    bad["works"][3]["ref"] = "gull-1"
    bad["works"][4]["heigth_mm"] = 3
    bad["away"] += [
        {"frame": "A5", "away_from": "2027-01-01", "away_until": "2027-01-02"},
        {"frame": "A3", "away_from": "2027-01-02", "away_until": "2027-01-01"},
        {"frame": "A3", "away_from": "2027-06-01", "away_until": "x", "count": 0},
        {"frame": "A3", "away_from": "2027-04-20", "away_until": "2027-04-30", "count": 2},
        7,
    ]
    bad |= {"weights": {"gull-9": 2, "gull-2": -1}, "seconds": 900, "earlier": [{"ref": "a", "frame": "A3"}] * 2, "framez": 1}
    found = faults(client, bad)
    assert found == {
        "/framez": "A request has no field “framez”. Did you mean “frames”?",
        "/works/0/hang_until": "It would come down before it goes up, on 2027-03-01. Are the two days the wrong way round?",
        "/works/1/width_mm": found["/works/1/width_mm"],
        "/works/2/hang_from": "Hangs from must be a day of the calendar as year-month-day, such as 2026-03-31.",
        "/works/3/ref": "This reference is there twice; give each work of a request its own.",
        "/works/4/heigth_mm": "A work has no fact “heigth_mm”. Did you mean “height_mm”?",
        "/away/1/frame": found["/away/1/frame"],
        "/away/2/away_until": "They come back before they go, on 2027-01-02. Give the last day that they are away.",
        "/away/3/away_until": "This must be a day, such as 2027-03-31.",
        "/away/3/count": "The count must be a whole number from 1 to 10000.",
        "/away/4/count": "There are 2 frames “A3”, fewer than would be away on 2027-04-20: 3.",
        "/away/5": "This must be an object with frame, away_from, away_until, count.",
        "/weights/gull-9": "None of the works has the ref “gull-9”. Did you mean “gull-5”?",
        "/weights/gull-2": "A weight must be a whole number from 1 to 1000.",
        "/seconds": "The time limit must be a number of seconds from 1 to 60; leave it out for 20.",
        "/earlier/1/ref": "This work is there twice; it had one frame.",
    }
    assert "is a weight, but this is a length" in found["/works/1/width_mm"]
    assert found["/away/1/frame"].startswith("The stock has no frame “A5”.")


def test_a_stock_that_cannot_be(client: TestClient[Any]) -> None:
    frames = [{"name": "A3", "width_mm": 297, "height_mm": 420, "count": -2, "window_width_mm": 300}, {"name": "A3", "width_mm": 1}]
    found = faults(client, {**DEMO, "away": [], "frames": frames})
    assert found["/frames/0/count"] == "This must be a whole number from 0 to 10000, such as 1."
    assert found["/frames/0/window_width_mm"] == "The window must fit inside the frame, at most 297 mm."
    assert "/frames/1/name" in found
    assert found["/frames/1/height_mm"] == 'This is missing; give the inner size, "height_mm": 420.'
    assert faults(client, {"works": [{"ref": "a"}]})["/frames"].startswith("This venue lists no frames.")
    for strange in ([], None, 3, [1], {}):
        assert client.post("/plans/frames", json={**DEMO, "frames": strange}).status_code == 422


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b'{"works":[]}', b'{"works":3}', b'{"works":[{"ref":"a","ref":"b"}]}', b"7"])
def test_what_is_no_request_is_refused_gently(client: TestClient[Any], body: bytes) -> None:
    answer = client.post("/plans/frames", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (400, 422)
    assert answer.json()["errors"][0]["message"]


def test_too_many_works_are_refused_with_the_limit(client: TestClient[Any]) -> None:
    answer = client.post("/plans/frames", json={"works": [{"ref": str(n)} for n in range(100_000)]})
    assert answer.status_code == 413
    assert answer.json()["type"] == "/problems/body-too-large"
    assert f"at most {MOST_WORKS} works; 100000 were given" in answer.json()["detail"]


def test_inches_half_filled_forms_and_other_kinds(client: TestClient[Any]) -> None:
    days = {"hang_from": "2027-03-01", "hang_until": "2027-03-07"}
    works = [
        {"ref": "inches", "kind": "work-on-paper", "framed": False, "width_mm": "11.7 in", "height_mm": "16.5 in", **days},
        {"ref": "blank"},
        {"ref": "panel", "kind": "panel", "framed": False, "width_mm": 300, "height_mm": 400, **days},
        {"ref": "framed", "kind": "photograph", "framed": True, "width_mm": 300, "height_mm": 400, **days},
        {"ref": "huge", "kind": "photograph", "framed": False, "width_mm": 3000, "height_mm": 400, **days},
    ]
    plan = msgspec.json.decode(client.post("/plans/frames", json={**DEMO, "works": works}).content, type=FramePlan)
    assert [(one.ref, one.frame) for one in plan.hangs] == [("inches", "A3")]
    assert {one.ref: one.why for one in plan.stays_out} == {
        "blank": "not-known", "panel": "no-sheet", "framed": "own-frame", "huge": "fits-none",
    }  # fmt: skip
    blank = next(one for one in plan.stays_out if one.ref == "blank")
    assert {"/hang_from", "/hang_until", "/kind"} <= set(blank.missing)
    assert plan.says.startswith("1 of 3 works that need one has a frame.")


UNTIL = {"hang_from": "2027-03-01", "hang_until": "2027-03-07"}
SHEET = {"ref": "sheet", "kind": "work-on-paper", "framed": False, "width_mm": 297, "height_mm": 420, **UNTIL}
HUGE = {**SHEET, "ref": "huge", "width_mm": 3000}
CANVAS = {"ref": "canvas", "kind": "stretched-canvas", "framed": False, "width_mm": 280, "height_mm": 400, **UNTIL}
BUST = {"ref": "bust", "kind": "sculpture"}
OWN = {"ref": "own", "kind": "photograph", "framed": True, **UNTIL}


@pytest.mark.parametrize(
    ("works", "said"),
    [
        ([SHEET, {**SHEET, "ref": "more"}, HUGE, CANVAS, BUST, OWN], "2 of 3 works that need one have a frame."),
        ([SHEET, CANVAS], "The one work that needs a frame has one."),
        ([HUGE, OWN], "The one work that needs a frame has none."),
        ([CANVAS, BUST, OWN], "None of these works needs a frame of ours."),
    ],
)
def test_only_works_that_need_a_frame_are_counted(client: TestClient[Any], works: list[dict[str, Any]], said: str) -> None:
    plan = client.post("/plans/frames", json={**DEMO, "works": works}).json()
    assert plan["says"].startswith(said)


def test_what_is_no_sheet_hangs_without_a_frame_and_is_sent_for_none(client: TestClient[Any]) -> None:
    """A canvas of the size of a frame that is free, and a bust of which neither size nor days are known."""
    plan = client.post("/plans/frames", json={**DEMO, "works": [CANVAS, BUST]}).json()
    says = "It is no loose work on paper and hangs without a frame of ours."
    assert plan["stays_out"] == [
        {"ref": ref, "why": "no-sheet", "says": says, "missing": [], "freed_by": []} for ref in ("bust", "canvas")
    ]  # fmt: skip


def test_the_command_line_calls_what_is_missing_by_its_title(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "frames.json"
    path.write_text(json.dumps({**DEMO, "works": [{**SHEET, "hang_from": None}, CANVAS]}))
    assert main(["plan", "frames", str(path)]) == 0
    text = capsys.readouterr().out
    assert "not known: Hangs from" in text
    assert "/hang_from" not in text
    assert main(["plan", "frames", "--format", "svg", str(path)]) == 0
    assert "canvas" not in capsys.readouterr().out


def test_an_earlier_plan_is_kept_to(client: TestClient[Any]) -> None:
    first = client.post("/plans/frames", json=DEMO).json()
    earlier = [
        {"ref": one["ref"], "frame": one["frame"], "number": 3 - one["number"] if one["frame"] == "A3" else 1} for one in first["hangs"]
    ]
    again = client.post("/plans/frames", json={**DEMO, "away": [], "earlier": earlier}).json()
    assert again["kept_numbers"] == len(earlier)
    assert again["objectives"][3]["value"] == 0


def test_evaluations_go_on_while_a_plan_is_made(client: TestClient[Any]) -> None:
    with running(installed_app()) as url, httpx.Client(base_url=url, timeout=60) as asking:
        assert asking.post("/plans/frames", json=DEMO).status_code == 200
        assert asking.post("/evaluations", json={"works": [{"ref": "a"}]}).status_code == 200


def test_a_plan_that_fails_is_a_problem_and_never_an_answer(client: TestClient[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    async def failing(*_: Any) -> bytes:
        raise plans_api.PlanFailed("BadPlan")

    monkeypatch.setattr("hangworthy.plans.frames.processes.run_worker", failing)
    answer = client.post("/plans/frames", json=DEMO)
    assert answer.status_code == 500
    assert answer.json()["type"] == "/problems/plan-failed"
    assert "BadPlan" not in answer.text


def test_where_too_many_wait_one_is_asked_to_come_again(client: TestClient[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(client.app.state.planner.workers, "_room", 0)
    answer = client.post("/plans/frames", json=DEMO)
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")


def many(count: int) -> dict[str, Any]:
    works = []
    for number in range(count):
        first = date(2027, 3, 1) + timedelta(number % 200)
        works.append({**DEMO["works"][0], "ref": f"w{number}", "hang_from": str(first), "hang_until": str(first + timedelta(20))})
    return {"frames": DEMO["frames"], "works": works}


@pytest.mark.parametrize("kind", sorted(STORES))
def test_many_works_are_planned_in_the_background(kind: str, tmp_path: Path) -> None:
    from datetime import UTC, datetime

    store = STORES[kind](tmp_path, lambda: datetime.now(UTC))
    with TestClient(installed_app(store), raise_server_exceptions=False) as client:
        few = client.post("/plans/frames", json=many(20))
        assert few.status_code == 200
        begun = client.post("/plans/frames", json=many(plans_api.DIRECT_WORKS + 1))
        assert begun.status_code == 202
        job = begun.json()
        assert (job["state"], job["plan"]) == ("waiting", None)
        assert begun.headers["location"] == f"/plans/{job['id']}"
        until = time.monotonic() + 90
        while (now := client.get(begun.headers["location"]).json())["state"] in ("waiting", "running") and time.monotonic() < until:
            time.sleep(0.1)
        assert now["state"] == "done", now
        assert now["plan"]["checked"] is True
        assert len(now["plan"]["hangs"]) + len(now["plan"]["stays_out"]) == plans_api.DIRECT_WORKS + 1
        assert client.delete(begun.headers["location"]).json()["state"] == "done"
        assert client.get("/plans/7f4c1a7e-5d0b-4c8e-9a53-2f6f0c3b8d99").status_code == 404
        assert client.get("/plans/x").status_code == 404


def test_a_plan_can_be_cancelled() -> None:
    store = MemoryHistory()
    with TestClient(installed_app(store), raise_server_exceptions=False) as client:
        begun = client.post("/plans/frames", json=many(plans_api.DIRECT_WORKS + 1))
        assert client.delete(begun.headers["location"]).json()["state"] == "cancelled"
        assert client.get(begun.headers["location"]).json()["plan"] is None


def test_without_a_history_many_works_are_planned_at_once(client: TestClient[Any]) -> None:
    assert client.post("/plans/frames", json={**many(plans_api.DIRECT_WORKS + 1), "seconds": 30}).status_code == 200


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "frames.json"
    path.write_bytes(demo.demo_frames())
    return str(path)


def test_the_command_line_answers_as_the_service_does(client: TestClient[Any], file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "frames", "--format", "json", file]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told == {**client.post("/plans/frames", json=DEMO).json(), "venue": told["venue"]}
    assert main(["plan", "frames", file]) == 0
    text = capsys.readouterr().out
    assert "7 of 9 works that need one have a frame." in text
    assert "6 mm more at the right and 6 mm more at the left" in text


def test_the_command_line_tells_every_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bad.json"
    path.write_text(json.dumps({**DEMO, "seconds": 0, "weights": {"x": 1}}))
    assert main(["plan", "frames", str(path)]) == 2
    told = capsys.readouterr().err
    assert "/seconds: The time limit must be" in told
    assert "/weights/x: None of the works" in told
    assert main(["plan", "frames", str(tmp_path / "none.json")]) == 2


def test_a_drawing_is_xml_whatever_is_in_a_ref(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "odd.json"
    path.write_text(json.dumps(DEMO).replace("gull-1", "<g>&\\u0001\\u001b"), encoding="utf-8")
    assert main(["plan", "frames", "--format", "svg", str(path)]) == 0
    assert "<g>&\ufffd\ufffd" in "".join(ElementTree.fromstring(capsys.readouterr().out).itertext())
    assert main(["plan", "frames", str(path)]) == 0
    assert "\x1b" not in capsys.readouterr().out


def test_the_picture_in_the_readme_is_of_the_demo(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Made anew by: hangworthy plan frames --format svg service/hangworthy/demo/frames.json > service/hangworthy/demo/frames.svg"""
    assert main(["plan", "frames", "--format", "svg", file]) == 0
    assert capsys.readouterr().out == PICTURE.read_text("utf-8")
    assert "service/hangworthy/demo/frames.svg" in (Path(__file__).parents[2] / "README.md").read_text("utf-8")
