"""hangworthy check: exit codes, standard input, formats, colour, and every fault of a bad input."""

import io
import json
import os
import re
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from hangworthy.cli import main
from hangworthy.demo import demo_call, demo_venue_path, demo_works

GOOD = {"ref": "good", "kind": "panel", "width_mm": 400, "height_mm": 300, "condition": {"faults": ["none"]}}
CANVAS = {"kind": "stretched-canvas", "width_mm": 900, "height_mm": 600}
SLACK = {"ref": "slack", **CANVAS, "canvas": {"billow_mm": 9, "keyed": True}}
TWISTED = {"ref": "twisted", **CANVAS, "canvas": {"corner_gaps_mm": [0, 20, 0, 0]}}


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "FORCE_COLOR", "COLUMNS", "HANGWORTHY_VENUES", "HANGWORTHY_DEFAULT_VENUE", "HANGWORTHY_ON_FAULT"):
        monkeypatch.delenv(name, raising=False)


def put(folder: Path, content: Any, name: str = "works.json") -> str:
    file = folder / name
    file.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    return str(file)


@pytest.mark.parametrize(
    ("works", "options", "code"),
    [
        ([GOOD], [], 0),
        ([SLACK], [], 0),
        ([TWISTED], [], 1),
        ([GOOD, TWISTED], [], 1),
        ([GOOD], ["--fail-on", "prepare"], 0),
        ([SLACK], ["--fail-on", "prepare"], 1),
        ([TWISTED], ["--fail-on", "refuse"], 0),
        ([TWISTED], ["--fail-on", "repair"], 1),
        ([GOOD], ["--fail-on", "unsettled"], 0),
        ([SLACK], ["--fail-on", "unsettled"], 1),
        ([TWISTED], ["--fail-on", "unsettled"], 1),
    ],
)
@pytest.mark.parametrize("form", ["text", "json"])
def test_the_exit_code_says_whether_the_works_are_fit(
    works: list[Any], options: list[str], code: int, form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", put(tmp_path, {"works": works}), "--format", form, *options]) == code
    out, err = capsys.readouterr()
    assert out
    assert not err


@pytest.mark.parametrize("content", [{"works": [SLACK]}, [SLACK], SLACK], ids=["request", "list", "work"])
def test_a_request_a_list_and_a_bare_work_give_the_same(
    content: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["check", "--format", "json", put(tmp_path, {"stage": "offer", "works": [SLACK]})])
    expected = capsys.readouterr().out
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(json.dumps(content).encode())))
    assert main(["check", "--format", "json", "-"]) == 0
    assert capsys.readouterr().out == expected


def test_json_is_one_evaluation_to_a_line_for_each_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [put(tmp_path, [GOOD], "a.json"), put(tmp_path, SLACK, "b.json")]
    assert main(["check", "--format", "json", *files]) == 0
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [line["works"][0]["ref"] for line in lines] == ["good", "slack"]
    assert {"stage", "venue", "packs", "outcome", "at_worst", "settled", "works"} <= set(lines[0])


def test_the_stage_of_the_option_comes_before_the_requests(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = put(tmp_path, {"stage": "hanging", "works": [GOOD]})
    for options, stage in (([], "hanging"), (["--stage", "arrival"], "arrival")):
        main(["check", "--format", "json", file, *options])
        assert json.loads(capsys.readouterr().out)["stage"] == stage


def test_text_shows_worst_first_remedy_questions_and_cautions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", put(tmp_path, demo_call().encode()), "--venue", str(demo_venue_path())]) == 0
    out = capsys.readouterr().out
    assert out.startswith("tide-7  Low tide, seven  prepare, at worst refuse\n")
    places = [
        out.index(text) for text in ("canvas.lies-flat", "canvas.taut", "canvas.casts-no-shadow", "Still to answer", "Later: ", "Caution")
    ]
    assert places == sorted(places)
    assert "If there are wooden" in out  # keys; whether there are any is still asked
    assert "Venue harbour-house, version 3." in out


def test_days_are_counted_up_to_today_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    finished = datetime.now(UTC).date() - timedelta(days=400)
    main(["check", put(tmp_path, {"ref": "a", **CANVAS, "technique": "oil", "finished_on": finished.isoformat()})])
    out = " ".join(capsys.readouterr().out.split())
    assert re.search(rf"Days since finished: 40[01] days, counted from {finished} to [0-9-]+\.", out)  # midnight may pass meanwhile
    assert "/canvas/age_days" not in out


def test_text_is_readable_at_80_columns_and_plain_in_a_pipe(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", put(tmp_path, demo_works()), "--venue", str(demo_venue_path())])
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    assert not [line for line in lines if "\x1b" in line or line.endswith(" ")]


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("terminal", "options", "environment", "coloured"),
    [
        (True, [], {}, True),
        (True, [], {"NO_COLOR": "1"}, False),
        (True, ["--color", "never"], {}, False),
        (True, ["--color", "always"], {"NO_COLOR": "1"}, True),
        (False, [], {}, False),
        (False, [], {"FORCE_COLOR": "1"}, False),
        (False, ["--color", "always"], {}, True),
    ],
)
def test_colour_is_for_terminals(
    terminal: bool, options: list[str], environment: dict[str, str], coloured: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    stream = Terminal() if terminal else io.StringIO()
    monkeypatch.setattr(sys, "stdout", stream)
    main(["check", put(tmp_path, [SLACK]), *options])
    assert ("\x1b[" in stream.getvalue()) is coloured


def test_what_an_artist_typed_cannot_steer_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    work = {"ref": "a", "title": "\x1b[2J[bold]:smile: \x07night\u202e"}
    main(["check", put(tmp_path, work), "--color", "always"])
    out = capsys.readouterr().out
    assert "[bold]:smile:" in out
    assert not any(sign in out for sign in ("\x1b[2J", "\x07", "\u202e"))


def test_a_bad_input_lists_every_fault_of_every_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = put(tmp_path, [{"ref": "a", "widht_mm": 3}, {"ref": "b", "height_mm": "5-7 mm", "kind": "stretched canvas"}], "one.json")
    two = put(tmp_path, {"ref": "c", "mass_kg": -1}, "two.json")
    three = put(tmp_path, {"works": [{"ref": "d", "width_mm": "3 kg"}, {"ref": "d"}]}, "three.json")
    gone = str(tmp_path / "gone.json")
    assert main(["check", one, two, three, gone]) == 2
    out, err = capsys.readouterr()
    assert not out
    for start in (
        f"{one}: /0/widht_mm: ",
        f"{one}: /1/height_mm: ",
        f"{one}: /1/kind: ",
        f"{two}: /mass_kg: ",
        f"{gone}: the whole input: ",
    ):
        assert start in err
    assert "Did you mean “width_mm”?" in err
    assert "6 ± 1 mm" in err


def test_facts_that_only_reading_refuses_are_listed_with_their_pointers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = put(tmp_path, [{"ref": "d", "width_mm": "3 kg"}, {"ref": "d", "wall_name": "north"}])
    assert main(["check", file, "--venue", str(demo_venue_path())]) == 2
    err = capsys.readouterr().err
    assert f"{file}: /0/width_mm: " in err
    assert "lobby-north" in err or "/1/" not in err


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "empty"),
        (b"{", "line 1, column"),
        (b'[\n{"ref" "a"}]', "line 2, column"),
        (b"3", ""),
        (b"[]", ""),
        (b'{"stage": "offer"}', "works"),
        (b'{"work": [{"ref": "a"}]}', "/work: "),
        (b'{"widht_mm": 3}', "/widht_mm: "),
        (b'{"works": [{"ref": "a"}], "stage": "ofer"}', "stage"),
        (b'{"works": [{"ref": "a"}], "venue": "nowhere"}', "/venue: There is no venue “nowhere”; there are: default."),
        (b'{"ref": "a", "title": "\xe4"}', "UTF-8"),
        (b'{"title": "no ref"}', "ref"),
        (b'{"ref": "a", "width_mm": 1e999}', ""),
        (b"[" * 100_000, ""),
        (b'{"ref": "a", "title": "' + b"x" * 2_100_000 + b'"}', "larger than 2,000,000 bytes"),
    ],
    ids=[
        "empty",
        "open",
        "syntax",
        "number",
        "no works",
        "no works key",
        "misspelt works",
        "misspelt fact",
        "stage",
        "venue",
        "latin-1",
        "no ref",
        "huge",
        "deep",
        "large",
    ],
)
def test_what_is_no_request_ends_with_2_and_a_sentence(
    content: bytes, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", put(tmp_path, content)]) == 2
    out, err = capsys.readouterr()
    assert not out
    assert sentence in err
    assert "Traceback" not in err
    assert "works.json: " in err


def test_a_venue_may_be_named_given_as_a_file_or_asked_for_by_the_request(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def venue_of(*options: str, content: Any = GOOD) -> str:
        assert main(["check", "--format", "json", put(tmp_path, content), *options]) == 0
        return str(json.loads(capsys.readouterr().out)["venue"]["name"])

    assert venue_of() == "default"
    small = put(tmp_path, b'name = "small"', "small.toml")
    assert venue_of("--venue", small) == "small"
    monkeypatch.setenv("HANGWORTHY_VENUES", f"{demo_venue_path()}{os.pathsep}{small}")
    assert venue_of() == "harbour-house"
    assert venue_of("--venue", "small") == "small"
    assert venue_of(content={"venue": "small", "works": [GOOD]}) == "small"
    assert venue_of("--venue", str(demo_venue_path()), content={"venue": "small", "works": [GOOD]}) == "harbour-house"
    monkeypatch.setenv("HANGWORTHY_DEFAULT_VENUE", "small")
    assert venue_of() == "small"


@pytest.mark.parametrize(
    ("options", "environment", "sentence"),
    [
        (["--venue", "nowhere"], {}, "There is no venue “nowhere”; there are: default. A file's name ends in .toml."),
        (["--venue", "gone.toml"], {}, "gone.toml: this venue file cannot be read"),
        ([], {"HANGWORTHY_VENUES": "gone.toml"}, "gone.toml: this venue file cannot be read"),
        ([], {"HANGWORTHY_DEFAULT_VENUE": "nowhere"}, "There is no venue “nowhere”"),
        ([], {"HANGWORTHY_PORT": "x"}, "HANGWORTHY_PORT must be a whole number"),
        ([], {"HANGWORTHY_PROT": "1"}, "HANGWORTHY_PROT is no setting"),
        ([], {"HANGWORTHY_PACKS": "nosuch"}, "pack nosuch is selected but not installed"),
    ],
)
def test_a_bad_venue_setting_or_pack_ends_with_2(
    options: list[str],
    environment: dict[str, str],
    sentence: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert main(["check", put(tmp_path, GOOD), *options]) == 2
    out, err = capsys.readouterr()
    assert not out
    assert sentence in err


def test_the_file_of_a_venue_that_packs_refuse_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    venue = put(tmp_path, b'name = "v"\npacks = ["canvass"]', "v.toml")
    assert main(["check", put(tmp_path, GOOD), "--venue", venue]) == 2
    assert capsys.readouterr().err.startswith(f"{venue}: packs: pack “canvass” is not installed")


def test_with_faults_reported_the_answer_says_that_nothing_is_settled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("HANGWORTHY_PACKS", "canvas,nosuch")
    monkeypatch.setenv("HANGWORTHY_ON_FAULT", "report")
    bare = {"ref": "good", "kind": "panel"}  # the pack that is left asks nothing about it
    assert main(["check", put(tmp_path, bare)]) == 0
    out = capsys.readouterr().out
    assert "ready, at worst refuse" in out
    assert "A rule pack is left out, so nothing is settled" in out
    assert main(["check", put(tmp_path, bare), "--fail-on", "unsettled"]) == 1
