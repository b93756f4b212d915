"""The command as a process of its own: pipes, speed, and a service that answers the call it printed."""

import json
import os
import shlex
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from hangworthy.demo import demo_call, demo_venue_path, demo_works

COMMAND = [sys.executable, "-m", "hangworthy"]
PLAIN = {name: value for name, value in os.environ.items() if not name.startswith(("HANGWORTHY_", "NO_COLOR"))}


def _run(*arguments: str, **details: Any) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*COMMAND, *arguments], capture_output=True, timeout=60, env=PLAIN | details.pop("env", {}), check=False, **details
    )


def test_standard_input_and_exit_code() -> None:
    done = _run("check", "--venue", str(demo_venue_path()), "-", input=demo_works())
    assert done.returncode == 1
    assert b"quay-1" in done.stdout
    assert b"\x1b" not in done.stdout
    assert done.stderr == b""


def test_an_old_terminal_gets_question_marks_instead_of_a_trace() -> None:
    done = _run("check", "-", input=demo_call().encode(), env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert done.stderr == b""


@pytest.mark.parametrize("arguments", [["published"], ["packs", "--format", "json"], ["limits"]])
def test_a_reader_that_has_gone_is_no_fault(arguments: list[str]) -> None:
    process = subprocess.Popen([*COMMAND, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=PLAIN)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    errors = process.stderr.read()
    process.stderr.close()
    assert process.wait(60) == 141
    assert errors == b""


@pytest.mark.parametrize("absent", ["litestar", "uvicorn", "jsonschema", "sqlalchemy", "rich"])
def test_check_imports_only_what_it_needs(absent: str) -> None:
    code = (
        "import sys, io; sys.stdout = io.StringIO(); sys.argv[1:] = ['check', '--format', 'json', '-'];"
        "from hangworthy.cli import main; main();"
        f"sys.exit('{absent}' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], input=demo_call().encode(), env=PLAIN, timeout=60, check=False).returncode == 0


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[str]]:
    """The lines that the demo service prints, while it runs."""
    log, folder = tmp_path_factory.mktemp("served") / "out", tmp_path_factory.mktemp("here")
    command = [*COMMAND, "serve", "--demo", "--port", "0"]
    with log.open("wb") as out:
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, env=PLAIN, cwd=folder)
    try:
        deadline = time.monotonic() + 90
        while b"curl" not in log.read_bytes() and process.poll() is None and time.monotonic() < deadline:
            time.sleep(0.05)
        yield log.read_text(encoding="utf-8").splitlines()
    finally:
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 0
        assert list(folder.iterdir()) == []  # a demo leaves nothing behind


def _post(url: str, body: bytes) -> dict[str, Any]:
    request = urllib.request.Request(url, body, {"content-type": "application/json"})
    with urllib.request.urlopen(request, timeout=60) as answer:
        content = json.load(answer)
    assert isinstance(content, dict)
    return content


def test_the_service_prints_its_address_and_a_call_that_works(served: list[str]) -> None:
    assert served[0].startswith("hangworthy listens on http://127.0.0.1:")
    call = shlex.split(next(line for line in served if line.startswith("curl ")))
    url = next(part for part in call if part.startswith("http"))
    answer = _post(url, call[call.index("-d") + 1].encode())
    assert answer["venue"]["name"] == "harbour-house"
    assert answer["works"][0]["ref"] == "tide-7"
    assert (answer["outcome"], answer["at_worst"], answer["settled"]) == ("prepare", "refuse", False)


def test_the_demo_records_and_says_that_no_key_was_made(served: list[str]) -> None:
    assert "No key was ever made, so only this computer is answered" in served[0]
    address = served[0].split(" ")[3]
    made = _post(f"{address}/evaluations", demo_call().encode())
    with urllib.request.urlopen(f"{address}/evaluations/{made['id']}", timeout=60) as answer:
        assert json.load(answer) == made


def test_the_demo_says_how_commands_find_its_history(served: list[str]) -> None:
    (setting,) = {word.lstrip("“") for word in served[0].split(" ") if word.lstrip("“").startswith("HANGWORTHY_DATABASE=")}
    name, _, place = setting.partition("=")
    done = _run("keys", "list", env={name: place})
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"There is no key yet" in done.stdout


def test_the_demo_shows_an_artists_form(served: list[str]) -> None:
    address = served[0].split(" ")[3]
    assert f"stands at {address}/demo. " in served[0]
    with urllib.request.urlopen(f"{address}/demo", timeout=60) as answer:
        assert b"/form/hints.js" in answer.read()


@pytest.mark.parametrize(
    ("database", "sentence"),
    [("none", b"without a history there are no keys"), ("", b"hangworthy keys add")],
)
def test_without_a_key_no_other_computer_is_answered(database: str, sentence: bytes, tmp_path: Path) -> None:
    env = {"HANGWORTHY_DATABASE": database or f"sqlite:///{tmp_path}/history.sqlite3"}
    done = _run("serve", "--host", "0.0.0.0", "--port", "0", env=env)
    assert done.returncode == 2
    assert sentence in done.stderr
    assert b"Traceback" not in done.stderr


def test_the_service_and_the_command_line_give_the_same_answer(served: list[str]) -> None:
    url = served[0].split(" ")[3] + "/evaluations?record=false"
    over_http = _post(url, demo_works())
    in_shell = json.loads(_run("check", "--format", "json", "--venue", str(demo_venue_path()), "-", input=demo_works()).stdout)
    over_http.pop("evaluated_at", None)
    in_shell.pop("evaluated_at", None)
    assert over_http == in_shell


def test_a_taken_port_is_told_in_a_sentence() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = _run("serve", "--port", str(taken.getsockname()[1]))
    assert done.returncode == 2
    assert b"choose another with --port" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_service_with_a_pack_at_fault_does_not_start() -> None:
    done = _run("serve", "--port", "0", env={"HANGWORTHY_PACKS": "canvas,nosuch,neither"})
    assert done.returncode == 2
    assert done.stderr.count(b"[unknown-pack]") == 2
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--port", "70000"], b"a port is a number from 0 to 65535"),
        (["--host", "no such host"], b"choose an address of this computer with --host"),
        (["--venue", "gone.toml"], b"gone.toml: this venue file cannot be read"),
        (["--port", "0"], b"HANGWORTHY_DATABASE: /no/such/folder is no folder that can be written"),
    ],
)
def test_what_cannot_be_served_is_told_in_a_sentence(arguments: list[str], sentence: bytes) -> None:
    done = _run("serve", *arguments, env={"HANGWORTHY_DATABASE": "sqlite:////no/such/folder/x.sqlite3"})
    assert done.returncode == 2
    assert sentence in done.stderr
    assert b"Traceback" not in done.stderr


def test_the_openapi_document_is_written_to_a_file_or_standard_output(tmp_path: Path) -> None:
    file = tmp_path / "openapi.json"
    assert _run("openapi", "--output", str(file)).returncode == 0
    document = json.loads(file.read_bytes())
    assert document["openapi"].startswith("3.1")
    assert _run("openapi").stdout == file.read_bytes()
    assert _run("openapi", "--output", str(tmp_path)).returncode == 0
    assert list((tmp_path / "examples").glob("*.json"))
