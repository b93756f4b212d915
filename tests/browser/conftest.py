"""A real browser on real pages: the system's chromium, loopback only, bounded in time."""

import contextlib
import shutil
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, TypeVar

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATIENCE = 20_000  # [ms] for whatever a test waits for; a busy machine needs more than a quiet one
T = TypeVar("T")


def chromium() -> str:
    """Return the browser's path. A machine without one fails: nobody would notice tests that are left out."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        pytest.fail("These tests need a browser: install it with “apt-get install chromium”.", pytrace=False)
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for a module, since its loop must have ended before other modules start theirs."""
    with sync_playwright() as started:
        # The sandbox needs rights that root in a container lacks; only pages of these tests are ever opened.
        made = started.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-dev-shm-usage"])
        yield made
        made.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh page; what its own scripts throw fails the test, and so does a breach of its policy."""
    context = browser.new_context(viewport={"width": 900, "height": 1000}, locale="en")
    context.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    made = context.new_page()
    thrown: list[str] = []
    made.on("pageerror", lambda error: thrown.append(str(error)))
    made.on("console", lambda line: thrown.append(line.text) if "Content Security Policy" in line.text else None)
    yield made
    context.close()
    assert thrown == []


def elsewhere(work: Callable[[], T]) -> T:
    """Do something that runs a loop of its own on another thread: the browser's loop holds this one."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(work).result(60)


@contextlib.contextmanager
def pages(content: dict[str, str], policy: str = "") -> Iterator[str]:
    """Serve pages as somebody else's server would; yield its address. A post is thanked for."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self._answer(content.get(self.path.partition("?")[0]))

        def do_POST(self) -> None:
            self.rfile.read(int(self.headers.get("content-length", 0)))
            self._answer("<!doctype html><title>thanks</title><p>thanks</p>")

        def _answer(self, text: str | None) -> None:
            body = (text or "").encode()
            self.send_response(404 if text is None else 200)
            self.send_header("content-type", "text/html; charset=utf-8")
            self.send_header("content-length", str(len(body)))
            if policy:
                self.send_header("content-security-policy", policy)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10)
