"""Whom the rate of a key for browsers counts: the connection's address, or behind a trusted proxy the one that it states."""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from hangworthy.settings import SettingsError, settings_from

COMMAND = [sys.executable, "-m", "hangworthy"]
ORIGIN = "https://form.example"
BODY = {"works": [{"ref": "a"}], "venue": "default"}


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("HANGWORTHY_")}
    return kept | {"HANGWORTHY_DATABASE": f"sqlite:///{tmp_path}/history.sqlite3"}


@pytest.fixture
def key(environment: dict[str, str]) -> str:
    made = ["keys", "add", "hints", "--browser", "--origin", ORIGIN, "--venue", "default", "--per-address", "2"]
    return subprocess.run([*COMMAND, *made], env=environment, capture_output=True, text=True, check=True, timeout=60).stdout.splitlines()[0]


@pytest.fixture(params=["", "127.0.0.0/8"], ids=["nobody trusted", "a proxy trusted"])
def served(request: pytest.FixtureRequest, environment: dict[str, str], key: str, tmp_path: Path) -> Iterator[tuple[str, str]]:
    log, trusted = tmp_path / "out", {"HANGWORTHY_TRUSTED_PROXIES": request.param} if request.param else {}
    with log.open("wb") as out:
        process = subprocess.Popen([*COMMAND, "serve", "--port", "0"], env=environment | trusted, stdout=out, stderr=out, cwd=tmp_path)
    try:
        deadline = time.monotonic() + 90
        while b"curl" not in log.read_bytes() and process.poll() is None and time.monotonic() < deadline:
            time.sleep(0.05)
        yield request.param, log.read_text("utf-8").split("listens on ")[1].split(" ")[0]
    finally:
        process.terminate()
        process.wait(60)


def test_a_stated_address_counts_only_behind_a_trusted_proxy(served: tuple[str, str], key: str) -> None:
    trusted, address = served
    found = []
    for number in range(4):
        headers = {"authorization": f"Bearer {key}", "origin": ORIGIN, "x-forwarded-for": f"192.0.2.{number}"}
        found.append(httpx.post(f"{address}/evaluations?record=false", json=BODY, headers=headers, timeout=60).status_code)
    assert found == ([200] * 4 if trusted else [200, 200, 429, 429])


def test_a_proxy_that_is_no_address_stops_the_start() -> None:
    assert settings_from({"HANGWORTHY_TRUSTED_PROXIES": "10.0.0.7, 10.1.0.0/16, fd00::/8"}).trusted_proxies == (
        "10.0.0.7", "10.1.0.0/16", "fd00::/8"
    )  # fmt: skip
    assert settings_from({"HANGWORTHY_TRUSTED_PROXIES": "10.0.0.7,"}).trusted_proxies == ("10.0.0.7",)
    for bad in ("*", "proxy.example", "10.0.0.0/40"):
        with pytest.raises(SettingsError, match="TRUSTED_PROXIES"):
            settings_from({"HANGWORTHY_TRUSTED_PROXIES": bad})
