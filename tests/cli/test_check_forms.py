"""What check writes for other programs, which files it takes, and how it asks a service."""

import csv
import http.server
import io
import json
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from api.serving import Clock, installed_app, recording_app, running, sql_store
from hangworthy.cli import main, remote
from hangworthy.history.port import ApiKey
from hangworthy.history.tokens import new_key

Captured = pytest.CaptureFixture[str]
GOOD = {"ref": "good", "title": "Calm", "kind": "panel", "width_mm": 400, "height_mm": 300, "condition": {"faults": ["none"]}}
TWISTED = {
    "ref": "twisted", "title": "=HYPERLINK(1), 100 %\n<x>&\x07", "kind": "stretched-canvas", "width_mm": 900, "height_mm": 600,
    "canvas": {"corner_gaps_mm": [0, 20, 0, 0]},
}  # fmt: skip
BAD = {"ref": "bad", "width_mm": "9 kg"}


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "HANGWORTHY_VENUES", "HANGWORTHY_DEFAULT_VENUE", "HANGWORTHY_SERVER", "HANGWORTHY_KEY"):
        monkeypatch.delenv(name, raising=False)


def put(folder: Path, *works: Any, name: str = "works.json") -> str:
    file = folder / name
    file.parent.mkdir(exist_ok=True)
    file.write_text("\n".join(map(json.dumps, works)) if name.endswith("l") else json.dumps({"works": works}))
    return str(file)


def asked(capsys: Captured, code: int, *arguments: str) -> str:
    assert main(["check", *arguments]) == code
    out, err = capsys.readouterr()
    assert (not err) == (code != 2)
    return out


def test_json_lines_are_works_of_their_own_with_their_line(tmp_path: Path, capsys: Captured) -> None:
    file = put(tmp_path, GOOD, [GOOD, TWISTED], {"works": [GOOD], "stage": "hanging"}, name="works.jsonl")
    told = [json.loads(line) for line in asked(capsys, 1, file, "--format", "jsonl").splitlines()]
    assert [(one["line"], one["stage"], one["work"]["ref"], one["fails"]) for one in told] == [
        (1, "offer", "good", False), (2, "offer", "good", False), (2, "offer", "twisted", True), (3, "hanging", "good", False),
    ]  # fmt: skip
    put(tmp_path, GOOD, BAD, name="works.jsonl")
    assert main(["check", file]) == 2
    assert f"{file}: line 2, /width_mm: “9 kg” is a weight" in capsys.readouterr().err


def test_in_every_form_a_hazard_comes_first_and_says_that_the_rest_waits(tmp_path: Path, capsys: Captured) -> None:
    file = put(tmp_path, {**TWISTED, "condition": {"faults": ["mould", "torn"]}})
    lead = "After a conservator or framer has cleared it:"
    for form in ("csv", "junit", "github", "text"):
        out = asked(capsys, 1, file, "--format", form)
        before, after = out.split(lead)
        assert "Seal it in a bag" in before or form == "text"
        assert "condition.no-mould" in before
        assert "tape on it" in after


def test_a_table_cannot_run_anything_in_a_spreadsheet(tmp_path: Path, capsys: Captured) -> None:
    bad = [{**GOOD, "ref": f"r{n}", "title": f"{sign}cmd|' /C calc'!A0"} for n, sign in enumerate("=+-@")]
    rows = list(csv.DictReader(io.StringIO(asked(capsys, 0, put(tmp_path, GOOD, *bad), "--format", "csv"), newline="")))
    assert [row["title"][:2] for row in rows] == ["Ca", "'=", "'+", "'-", "'@"]
    assert {(row["outcome"], row["fails"]) for row in rows} == {("ready", "false")}
    (row,) = csv.DictReader(io.StringIO(asked(capsys, 1, put(tmp_path, TWISTED), "--format", "csv"), newline=""))
    assert (row["ref"], row["outcome"], row["settled"], row["fails"]) == ("twisted", "repair", "false", "true")
    assert row["to_do"]
    assert row["found"]
    assert row["to_answer"]


# The form of Ant's JUnit task, as windyroad/JUnit-Schema (JUnit.xsd) has it, read off by hand: children in order, and required attributes.
SUITE = {"id", "package", "name", "timestamp", "hostname", "tests", "failures", "errors", "time"}
INSIDE_SUITE = re.compile(r"properties( testcase)* system-out system-err\Z")


def junit(text: str) -> ElementTree.Element:
    root = ElementTree.fromstring(text.encode())
    assert (root.tag, root.attrib) == ("testsuites", {})
    for place, suite in enumerate(root):
        assert suite.tag == "testsuite"
        assert set(suite.attrib) == SUITE
        assert suite.get("id") == str(place)
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d", suite.get("timestamp") or "")
        assert INSIDE_SUITE.match(" ".join(one.tag for one in suite))
        cases = suite.findall("testcase")
        assert suite.get("tests") == str(len(cases))
        for kind in ("failure", "error"):
            assert suite.get(f"{kind}s") == str(len(suite.findall(f"testcase/{kind}")))
        for case in cases:
            assert set(case.attrib) == {"classname", "name", "time"}
            assert len(case) <= 1
            assert all(set(one.attrib) == {"type", "message"} and one.tag in ("failure", "error") for one in case)
    return root


def test_junit_has_a_suite_for_each_file_and_a_case_for_each_work(tmp_path: Path, capsys: Captured) -> None:
    files = [put(tmp_path, GOOD, TWISTED), put(tmp_path, {**GOOD, "ref": 'a "b" <c> & d'}, name="more.json")]
    root = junit(asked(capsys, 1, *files, "--format", "junit"))
    assert [suite.get("name") for suite in root] == files
    assert [case.get("name") for case in root.iter("testcase")] == ["good", "twisted", 'a "b" <c> & d']
    (failure,) = root.iter("failure")
    assert failure.get("type") == "repair"
    assert "Still to answer:" in (failure.text or "")
    assert main(["check", put(tmp_path, BAD, GOOD), "--format", "junit"]) == 2
    root = junit(capsys.readouterr().out)
    (error,) = root.iter("error")
    assert "9 kg" in (error.text or "")


def test_annotations_name_file_line_and_work(tmp_path: Path, capsys: Captured) -> None:
    file = put(tmp_path, GOOD, TWISTED, name="works.jsonl")
    (line,) = asked(capsys, 1, file, "--format", "github").splitlines()
    assert re.match(rf"::error file={re.escape(file)},line=2,title=twisted =HYPERLINK\(1\)%2C 100 %25%0A<x>&\x07::repair", line)
    assert "%0A" in line.partition("::repair")[2]
    assert main(["check", put(tmp_path, GOOD, BAD, name="works.jsonl"), "--format", "github"]) == 2
    assert capsys.readouterr().out.startswith(f"::error file={file},line=2,title=line 2%2C /width_mm::“9 kg” is a weight")


def test_folders_and_patterns_stand_for_their_files(tmp_path: Path, capsys: Captured) -> None:
    put(tmp_path, GOOD, name="b.json")
    put(tmp_path, {**GOOD, "ref": "line"}, name="a.jsonl")
    put(tmp_path / "deep", {**GOOD, "ref": "deep"}, name="c.json")
    (tmp_path / "notes.txt").write_text("no works")
    (tmp_path / ".hidden.json").write_text("no works")
    (tmp_path / "~$open.xlsx").write_text("a spreadsheet program's own")

    def refs(*files: str) -> list[str]:
        return [json.loads(line)["works"][0]["ref"] for line in asked(capsys, 0, *files, "--format", "json").splitlines()]

    assert refs(str(tmp_path)) == ["line", "good", "deep"]
    assert refs(str(tmp_path / "*.json")) == ["good"]
    assert refs(str(tmp_path / "**" / "*.json")) == ["good", "deep"]
    (tmp_path / "empty").mkdir()
    for name, said in (("empty", "holds no file of works"), ("*.csv", "no file has such a name"), ("none.json", "cannot be read")):
        assert main(["check", str(tmp_path / name)]) == 2
        assert said in capsys.readouterr().err


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    with running(installed_app(sql_store(f"sqlite:///{tmp_path}/history.sqlite3", Clock()))) as where:
        yield where


@pytest.mark.parametrize("form", ["csv", "junit", "jsonl"])
def test_a_service_answers_as_the_packs_here_do(form: str, address: str, tmp_path: Path, capsys: Captured) -> None:
    files = [put(tmp_path, GOOD, TWISTED), put(tmp_path, *({**GOOD, "ref": f"r{n}"} for n in range(60)), name="many.jsonl")]
    venue = tmp_path / "house.toml"
    venue.write_text('name = "house"\ntitle = "The house"\n')
    here = asked(capsys, 1, *files, "--format", form, "--venue", str(venue))
    there = asked(capsys, 1, *files, "--format", form, "--server", address, "--venue", "house")
    stamp = r'timestamp="[^"]*"|"evaluated_at":"[^"]*",?'
    here, there = (re.sub(stamp, "", one) for one in (here, there))
    if form == "jsonl":  # a bound of a question may be 0 in one and 0.0 in the other
        assert [json.loads(line) for line in there.splitlines()] == [json.loads(line) for line in here.splitlines()]
    else:
        assert there == here


def test_what_a_service_refuses_is_told_at_its_place(address: str, tmp_path: Path, capsys: Captured) -> None:
    works = tmp_path / "works.csv"
    works.write_text("ref,width_mm,wall_name\na,1 m,nowhere\n")
    assert main(["check", str(works), "--server", address]) == 2
    assert "works.csv: row 2, column C (wall_name): This venue lists no walls; leave the wall out." in capsys.readouterr().err
    assert main(["check", put(tmp_path, GOOD), "--server", address, "--venue", "mouse"]) == 2
    assert "There is no venue “mouse”." in capsys.readouterr().err


def test_a_service_records_only_when_asked_to(address: str, tmp_path: Path, capsys: Captured) -> None:
    for options, recorded in (([], False), (["--record"], True)):
        out = asked(capsys, 0, put(tmp_path, GOOD), "--format", "json", "--server", address, *options)
        assert ("id" in json.loads(out)) == recorded


def test_a_key_is_taken_from_the_environment_and_its_lack_is_told(
    tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch
) -> None:
    import asyncio

    from api.memory import MemoryHistory

    store, clock = MemoryHistory(), Clock()
    id_, token, kept = new_key()
    asyncio.run(store.keys.add(ApiKey(id=id_, name="x", scopes=("evaluate",), venues=None, made_at=clock()), kept))
    with running(recording_app(store, clock)) as where:
        file = put(tmp_path, {"ref": "a"})
        assert main(["check", file, "--server", where]) == 2
        told = capsys.readouterr().err
        assert "A valid key is needed." in told
        assert "--key or HANGWORTHY_KEY" in told
        monkeypatch.setenv("HANGWORTHY_KEY", token)
        monkeypatch.setenv("HANGWORTHY_SERVER", where)
        asked(capsys, 0, file)


@contextmanager
def answering(*answers: tuple[int, dict[str, str], bytes]) -> Iterator[tuple[str, list[int]]]:
    """A server that gives these answers, one after another; the last one again and again."""
    given: list[int] = []

    class Handler(http.server.BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_POST(self) -> None:
            while (size := int(self.rfile.readline(), 16)) or not self.rfile.readline():
                self.rfile.read(size + 2)
            status, headers, body = answers[min(len(given), len(answers) - 1)]
            given.append(status)
            self.send_response(status)
            for name, value in {**headers, "Content-Length": str(len(body)), "Connection": "close"}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: Any) -> None:
            return

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield f"http://127.0.0.1:{server.server_port}", given
        finally:
            server.shutdown()


PROBLEM = json.dumps({"title": "Asked too often", "detail": "Wait a little.", "status": 429}).encode()


def test_a_service_that_is_asked_too_often_is_waited_for(tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    waited: list[float] = []
    monkeypatch.setattr(remote.time, "sleep", waited.append)
    file = put(tmp_path, GOOD)
    main(["check", file, "--format", "json"])
    answer = b'{"line":1,"evaluation":' + capsys.readouterr().out.encode().strip() + b"}\n"
    with answering((429, {"Retry-After": "7"}, PROBLEM), (200, {}, answer)) as (where, given):
        assert main(["check", file, "--server", where]) == 0
        assert (waited, given) == ([7], [429, 200])
    with answering((429, {"Retry-After": "7"}, PROBLEM)) as (where, given):
        assert main(["check", file, "--server", where]) == 2
        assert "Asked too often. Wait a little." in capsys.readouterr().err
        assert len(given) == remote.TRIES


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ((404, {}, b"<html>"), "answered with 404 and not as hangworthy does"),
        ((200, {}, b"<html>\n"), "not one of hangworthy"),
        ((200, {}, b""), "the answer ended early; 0 of 1 were answered"),
        ((200, {}, b'{"line":5}\n'), "not in order"),
    ],
)
def test_something_else_at_the_address_is_told(answer: Any, said: str, tmp_path: Path, capsys: Captured) -> None:
    with answering(answer) as (where, _):
        assert main(["check", put(tmp_path, GOOD), "--server", where]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    ("where", "said"),
    [
        ("http://127.0.0.1:9", "nobody answers at this address; is the service running"),
        ("ftp://x", "give an address such as"),
        ("http://", "give an address such as"),
        ("http://x:99999", "the port must be a number"),
        ("http://name.invalid", "the connection failed"),
    ],
)
def test_a_service_that_is_not_there_is_told(where: str, said: str, tmp_path: Path, capsys: Captured) -> None:
    assert main(["check", put(tmp_path, GOOD), "--server", where]) == 2
    assert said in capsys.readouterr().err


def test_a_check_of_one_file_loads_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    """The libraries of sheets, XML and HTTP would double the time of a check; it is to stay under half a second."""
    heavy = ("openpyxl", "xml.sax", "http.client", "rich", "litestar", "sqlalchemy")
    file = put(tmp_path, GOOD)
    code = f"import sys; from hangworthy.cli import main; main(['check', {file!r}, '--format', 'json'])\n"
    code += f"print([name for name in {heavy!r} if name in sys.modules], file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_a_bar_is_shown_on_a_terminal_only(tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch) -> None:
    file = put(tmp_path, *({**GOOD, "ref": f"r{n}"} for n in range(30)), name="many.jsonl")
    asked(capsys, 0, file, "--format", "json")
    monkeypatch.setattr(type(sys.stderr), "isatty", lambda self: self is sys.stderr)
    monkeypatch.setenv("TERM", "xterm")
    assert main(["check", file, "--format", "json"]) == 0
    out, err = capsys.readouterr()
    assert "Checking" in err
    assert len(out.splitlines()) == 30
