"""The types that openapi-typescript makes of the document, and a page's code that uses them, under the compiler's strictest rules."""

import shutil
import subprocess
from pathlib import Path

import pytest

from hangworthy.api.openapi import document, dump
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue

PACKAGES = ("openapi-typescript@7", "typescript@5")
HERE = Path(__file__).parent


@pytest.mark.skipif(shutil.which("npm") is None, reason="npm is not installed; .ci/run installs it")
def test_a_page_compiles_with_the_types(tmp_path: Path) -> None:
    (tmp_path / "openapi.json").write_bytes(dump(document(build_catalogue(*discover()))))
    shutil.copy(HERE / "use.ts", tmp_path)
    (tmp_path / "package.json").write_text("{}")

    def run(*command: str) -> str:
        done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=240)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout + done.stderr

    fetched = subprocess.run(
        ["npm", "install", "--no-audit", "--no-fund", "--silent", *PACKAGES], cwd=tmp_path, capture_output=True, text=True, timeout=240
    )  # fmt: skip
    if fetched.returncode and "registry" in fetched.stderr:
        pytest.skip("the registry of npm cannot be reached")
    assert fetched.returncode == 0, fetched.stdout + fetched.stderr
    said = run("node_modules/.bin/openapi-typescript", "openapi.json", "-o", "api.d.ts")
    assert "warn" not in said.lower()
    run("node_modules/.bin/tsc", "--noEmit", "--strict", "--exactOptionalPropertyTypes", "--target", "es2022", "use.ts")
