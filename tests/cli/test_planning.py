"""Plans on the command line: the service's answers, faults with file and place, and exit codes."""

import json
from pathlib import Path
from typing import Any

import pytest

from hangworthy.cli.commands import main
from hangworthy.cli.usage import parser
from hangworthy.demo import demo_frames, demo_venue_path

WORKS = [{"ref": f"w-{n}", "framed": False, "width_mm": 400 + n, "height_mm": "50 cm"} for n in range(3)]
WALL: dict[str, Any] = {"wall_name": "lobby-north", "works": WORKS}


def run(folder: Path, plan: str, body: Any, *more: str) -> int:
    file = folder / "asked.json"
    file.write_text(body if isinstance(body, str) else json.dumps(body), encoding="utf-8")
    return main(["plan", plan, "--venue", str(demo_venue_path()), *more, str(file)])


def test_a_wall_plan_in_each_format(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path, "wall", WALL, "--format", "json") == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["fits"]
    assert run(tmp_path, "wall", WALL) == 0
    text = capsys.readouterr().out
    assert all(str(one["left_mm"]) in text for one in plan["works"])
    assert " | ".join(f"{one.get('name', '')} {one['length_mm']}".strip() for one in plan["rows"][0]["pieces"]) in text
    assert run(tmp_path, "wall", WALL, "--format", "svg") == 0
    assert capsys.readouterr().out.startswith("<svg")


def test_what_does_not_fit_ends_with_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wide = {**WALL, "works": [{**WORKS[0], "width_mm": 7000}]}
    assert run(tmp_path, "wall", wide) == 1
    assert "700 mm too wide" in capsys.readouterr().out
    assert run(tmp_path, "replacement", {"wall_name": "lobby-north", "candidates": wide["works"]}) == 1
    assert "Not offered" in capsys.readouterr().out


def test_a_replacement_is_ranked_for_people_and_for_programs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = {"wall_name": "boardroom", "candidates": WORKS, "most": 2}
    assert run(tmp_path, "replacement", body) == 0
    text = capsys.readouterr().out
    assert text.startswith("For the wall “boardroom”: 3 could hang there.")
    assert "Left off the list: 1 more." in text
    assert run(tmp_path, "replacement", body, "--format", "json") == 0
    assert json.loads(capsys.readouterr().out)["left_off"] == 1


def test_a_replacement_says_how_it_could_end_and_who_has_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tender = {"ref": "t", "kind": "panel", "technique": "watercolour", "framed": False, "width_mm": 600, "height_mm": 400}
    tender |= {"fittings": {"kind": "none"}, "light": {"fading_materials": ["none"]}}
    days = {"hang_from": "2026-01-05", "hang_until": "2026-12-31"}
    body = {"wall_name": "corridor-2", "candidates": [tender, {"ref": "u"}], "include_prepare": True, **days}
    assert run(tmp_path, "replacement", body) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "1. t prepare, at worst refuse" in text
    assert "For the artist to do: " in text
    assert "For you to do: Hang it here for " in text
    assert "u: Its size is not known; missing: width, height." in text
    assert "coordinator" not in text


@pytest.mark.parametrize(("body", "said"), [("{", "malformed"), ({"works": 3}, "/works"), ({**WALL, "rows": 9}, "/rows")])
def test_faults_name_file_and_place(tmp_path: Path, capsys: pytest.CaptureFixture[str], body: Any, said: str) -> None:
    assert run(tmp_path, "wall", body) == 2
    told = capsys.readouterr().err
    assert "asked.json" in told
    assert said in told or "not JSON" in told


def test_a_file_that_is_not_there_is_said_to_be_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "wall", str(tmp_path / "none.json")]) == 2
    assert "cannot be read: no such file" in capsys.readouterr().err


@pytest.mark.parametrize("plan", ["wall", "replacement", "frames"])
def test_the_venue_of_the_option_goes_before_the_one_in_the_file(plan: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bodies = {"wall": WALL, "replacement": {"wall_name": "boardroom", "candidates": WORKS}, "frames": json.loads(demo_frames())}
    assert run(tmp_path, plan, {**bodies[plan], "venue": "elsewhere"}, "--format", "json") == 0
    venue = json.loads(capsys.readouterr().out)["venue"]
    assert (venue if isinstance(venue, str) else venue["name"]) == "harbour-house"
    (tmp_path / "asked.json").write_text(json.dumps({**bodies[plan], "venue": "elsewhere"}))
    assert main(["plan", plan, str(tmp_path / "asked.json")]) == 2
    assert "/venue: There is no venue “elsewhere”." in capsys.readouterr().err


def test_each_plan_says_its_formats() -> None:
    assert "svg" in parser(["plan"]).parse_args(["plan", "wall", "--format", "svg", "x"]).format
