"""Long batches to a real service with a crew: the same answers, none lost when a process dies, and no process left behind."""

import contextlib
import json
import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

import loading
from history.postgres import Postgres
from loading import Serving, serving

pytestmark = [
    pytest.mark.timeout(180),
    pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are found by Linux's /proc"),
]
LINES = 400
HEADERS = {"content-type": "application/jsonl"}


def lines(count: int = LINES) -> list[str]:
    made = []
    for number in range(count):
        work: dict[str, Any] = {"ref": f"w-{number}", "kind": "stretched-canvas", "width_mm": 300 + number, "height_mm": "60 cm"}
        made.append(json.dumps(work | {"canvas": {"billow_mm": number % 9}}))
    return made


def batch(service: Serving, body: list[str], query: str = "") -> list[dict[str, Any]]:
    url = f"http://127.0.0.1:{service.port}/evaluations/batch{query}"
    answered = httpx.post(url, content="\n".join(body).encode(), headers=HEADERS, timeout=120)
    assert answered.status_code == 200, answered.text
    return [json.loads(line) for line in answered.content.splitlines()]


def helpers(service: Serving) -> list[int]:
    """The processes of the crew, by Linux's own list."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError, ValueError):
            parent = int(stat.read_text().rpartition(")")[2].split()[1])
            if parent == service.process.pid and b"hangworthy.crew.worker" in (stat.parent / "cmdline").read_bytes():
                found.append(int(stat.parent.name))
    return found


def helped(service: Serving) -> list[int]:
    """Send batches until the crew is there; give it a moment to have loaded the packs."""
    until = time.monotonic() + 60
    while time.monotonic() < until:
        batch(service, lines(64), "?record=false&detail=brief")
        if len(pids := helpers(service)) == 2 and all(_idle(pid) for pid in pids):
            return pids
    raise AssertionError("no process came to help")


def _idle(pid: int) -> bool:
    """Whether a process waits for something, as it does for the next line once it has loaded the packs."""
    with contextlib.suppress(OSError):
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "S"
    return False


def gone(pids: list[int]) -> bool:
    until = time.monotonic() + 30
    while time.monotonic() < until:
        if not any(Path(f"/proc/{pid}").exists() and _alive(pid) for pid in pids):
            return True
        time.sleep(0.05)
    return False


def _alive(pid: int) -> bool:
    with contextlib.suppress(OSError):
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    return False


def same(answers: list[dict[str, Any]]) -> list[Any]:
    """Answers without what differs from one time to the next."""
    for one in answers:
        if "evaluation" in one:
            assert one["evaluation"].pop("evaluated_at")
            one["evaluation"].pop("id", None)
        else:
            one["problem"].pop("instance")
    return answers


@pytest.fixture
def service(tmp_path: Path) -> Iterator[Serving]:
    with serving(f"sqlite:///{tmp_path / 'history.sqlite3'}", batch_processes="2", packs="canvas") as one:
        yield one


def test_with_and_without_a_crew_the_answers_are_the_same(service: Serving, tmp_path: Path) -> None:
    body = lines()
    body[100] = '{"ref": "x", "width_mm": "9 kg"}'
    body[200] = "[1,"
    body[300] = '{"works": [{"ref": "a"}, {"ref": "b", "kind": "stretched-canvas"}], "language": "de", "venue": "nowhere"}'
    helped(service)
    with serving(f"sqlite:///{tmp_path / 'other.sqlite3'}", batch_processes="0", packs="canvas") as alone:
        for query in ("", "?record=false", "?record=false&detail=brief&lang=de&stage=return"):
            mine, theirs = batch(service, body, query), batch(alone, body, query)
            assert [one["line"] for one in mine] == list(range(1, LINES + 1))
            assert sum("problem" in one for one in mine) == 3
            assert same(mine) == same(theirs)
        assert helpers(alone) == []


def test_what_a_crew_made_is_kept_and_can_be_asked_again(service: Serving) -> None:
    helped(service)
    answers = batch(service, lines())
    url = f"http://127.0.0.1:{service.port}/evaluations"
    ids = [one["evaluation"]["id"] for one in answers]
    assert len(set(ids)) == LINES
    for one in answers[:: LINES // 4]:
        assert httpx.get(f"{url}/{one['evaluation']['id']}", timeout=30).json() == one["evaluation"]
        again = httpx.post(f"{url}/{one['evaluation']['id']}/replay", timeout=30).json()
        assert again["identical"] is True


def test_when_processes_are_killed_each_line_is_answered_once_all_the_same(service: Serving) -> None:
    each_line_once(service)


def test_when_processes_are_killed_each_line_is_answered_once_on_postgresql_too(postgres: Postgres) -> None:
    with serving(postgres.empty_database(), batch_processes="2", packs="canvas") as service:
        each_line_once(service)


def each_line_once(service: Serving) -> None:
    pids = helped(service)
    killed = iter(pids)
    url = f"http://127.0.0.1:{service.port}/evaluations/batch"
    found = []
    with httpx.stream("POST", url, content="\n".join(lines(2_000)).encode(), headers=HEADERS, timeout=120) as answered:
        for number, line in enumerate(answered.iter_lines()):
            found.append(json.loads(line)["line"])
            if number in (300, 900):
                os.kill(next(killed), signal.SIGKILL)
    assert found == list(range(1, 2_001))
    assert gone(pids)
    for ref in ("w-0", "w-300", "w-301", "w-900", "w-950", "w-1999"):
        kept = httpx.get(f"http://127.0.0.1:{service.port}/works/{ref}/history", timeout=30).json()["items"]
        assert len(kept) == 1


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_none_is_left_behind(service: Serving, how: signal.Signals) -> None:
    pids = helped(service)
    service.process.send_signal(how)
    service.process.wait(60)
    service.process.stdout.close()  # type: ignore[union-attr] # it has a pipe
    assert gone(pids)


def test_a_service_that_was_started_with_streams_closed_has_a_crew_like_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    """A socket in the place of a standard stream would keep the event loop from starting any process."""
    monkeypatch.setattr(loading, "COMMAND", ("sh", "-c", 'exec "$@" <&- 2>&-', "sh", *loading.COMMAND))
    with serving(f"sqlite:///{tmp_path / 'history.sqlite3'}", batch_processes="2", packs="canvas") as one:
        helped(one)
        assert {os.readlink(f"/proc/{one.process.pid}/fd/{number}") for number in (0, 2)} == {os.devnull}


def test_a_short_batch_starts_no_process(service: Serving) -> None:
    for _ in range(3):
        assert len(batch(service, lines(20))) == 20
    assert helpers(service) == []
