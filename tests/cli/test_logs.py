"""The log: one JSON object a line, with a request id, without a work's facts."""

import io
import json
import logging
import os
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from hangworthy.cli.logs import JsonLines, log_to
from hangworthy.demo import demo_call


@pytest.fixture
def loggers() -> Iterator[None]:
    kept = {name: (logging.getLogger(name).handlers, logging.getLogger(name).propagate) for name in ("hangworthy", "uvicorn")}
    yield
    for name, (handlers, propagate) in kept.items():
        logging.getLogger(name).handlers, logging.getLogger(name).propagate = handlers, propagate
        logging.getLogger(name).setLevel(logging.NOTSET)


def test_a_line_is_one_json_object_whatever_is_in_it(loggers: None) -> None:
    stream = io.StringIO()
    log_to(stream, "info")
    logging.getLogger("hangworthy").error("two\nlines and \x1b[31m colour")
    logging.getLogger("hangworthy").debug("not at this level")
    logging.getLogger("uvicorn.error").warning("from the server")
    lines = [json.loads(line) for line in stream.getvalue().splitlines()]
    assert [(line["level"], line["logger"]) for line in lines] == [("error", "hangworthy"), ("warning", "uvicorn.error")]
    assert "\x1b" not in stream.getvalue()


def test_a_trace_is_left_out() -> None:
    try:
        raise ValueError("price 4200")
    except ValueError:
        record = logging.LogRecord("hangworthy", logging.ERROR, __file__, 1, "it failed", None, sys.exc_info())
    assert "4200" not in JsonLines().format(record)


def test_a_served_request_is_logged_without_its_facts(tmp_path: Path) -> None:
    log = tmp_path / "log"
    command = [sys.executable, "-m", "hangworthy", "serve", "--demo", "--port", "0"]
    with log.open("wb") as out:
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, env={**os.environ, "NO_COLOR": "1"})
    try:
        deadline = time.monotonic() + 90
        while b"curl" not in log.read_bytes() and process.poll() is None and time.monotonic() < deadline:
            time.sleep(0.05)
        url = log.read_text("utf-8").split("listens on ")[1].split(" ")[0]
        headers = {"content-type": "application/json", "x-request-id": "from-the-form"}
        urllib.request.urlopen(urllib.request.Request(f"{url}/evaluations", demo_call().encode(), headers), timeout=60).close()
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(60)
    lines = [json.loads(line) for line in log.read_text("utf-8").splitlines() if line.startswith("{")]
    (line,) = [line for line in lines if line.get("path") == "/evaluations"]
    assert (line["method"], line["status"], line["works"], line["request_id"]) == ("POST", 201, 1, "from-the-form")
    assert not any(fact in json.dumps(lines) for fact in ("tide-7", "Low tide", "linen"))
