"""Load for a service in a process of its own: the real command, and many connections that each wait for their answer."""

import contextlib
import os
import selectors
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import msgspec

READY_SECONDS = 60
COMMAND = (sys.executable, "-m", "hangworthy", "serve")
PLAIN = {name: value for name, value in os.environ.items() if not name.startswith("HANGWORTHY_")}


class Answer(msgspec.Struct):
    """What came back on a connection: the status (0: it broke before a whole answer was there), the body, and how long it took."""

    status: int
    body: bytes
    seconds: float
    sent: Any = None


class Serving:
    """``hangworthy serve`` on a free port, over a database."""

    def __init__(self, url: str, log: Path | None = None, port: int = 0, **settings: str) -> None:
        environment = {**PLAIN, "HANGWORTHY_DATABASE": url, **{f"HANGWORTHY_{name.upper()}": value for name, value in settings.items()}}
        command = [*COMMAND, "--port", str(port)]
        errors: Any = subprocess.DEVNULL if log is None else log.open("ab")
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, env=environment, text=True)
        if log is not None:
            errors.close()
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line:
            raise AssertionError(f"the service did not start; it ended with {self.process.wait(10)}")
        self.port = int(line.split("http://127.0.0.1:")[1].split()[0])

    def kill(self) -> None:
        """End it as a power cut would, as far as a process can."""
        self.process.send_signal(signal.SIGKILL)
        self._gone()

    def stop(self) -> None:
        """Ask it to stop."""
        self.process.terminate()
        self._gone()

    def _gone(self) -> None:
        assert self.process.stdout is not None
        self.process.wait(60)
        self.process.stdout.close()


@contextlib.contextmanager
def serving(url: str, log: Path | None = None, **settings: str) -> Iterator[Serving]:
    made = Serving(url, log, **settings)
    try:
        yield made
    finally:
        made.stop() if made.process.poll() is None else None


def framed(body: bytes, key: str | None = None, *, record: bool = True, more: bytes = b"") -> bytes:
    """Return a whole request to evaluate."""
    path = b"/evaluations" if record else b"/evaluations?record=false"
    keyed = b"" if key is None else b"idempotency-key: %s\r\n" % key.encode()
    head = b"POST %s HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n%s%scontent-length: %d\r\n\r\n"
    return head % (path, keyed, more, len(body)) + body


class Connection:
    """One connection with at most one request under way."""

    def __init__(self, port: int) -> None:
        self.socket = socket.create_connection(("127.0.0.1", port), timeout=30)
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.waiting = bytearray()
        self.sent: Any = None
        self.started = 0.0

    def send(self, request: bytes, sent: Any = None) -> None:
        self.sent, self.started = sent, time.perf_counter()
        self.socket.sendall(request)

    def receive(self) -> Answer | None:
        """Return the answer once all of it is there; one with status 0 when the connection broke."""
        try:
            received = self.socket.recv(1 << 18)
        except OSError:
            received = b""
        if not received:
            return Answer(0, b"", time.perf_counter() - self.started, self.sent)
        self.waiting += received
        end = self.waiting.find(b"\r\n\r\n")
        if end < 0:
            return None
        head = bytes(self.waiting[:end]).lower()
        size = end + 4 + int(head.partition(b"content-length:")[2].partition(b"\r\n")[0])
        if len(self.waiting) < size:
            return None
        body = bytes(self.waiting[end + 4 : size])
        del self.waiting[:size]
        return Answer(int(head[9:12]), body, time.perf_counter() - self.started, self.sent)

    def ask(self, request: bytes) -> Answer:
        """Send a request and wait for its answer."""
        self.send(request)
        while (answer := self.receive()) is None:
            pass
        return answer

    def close(self) -> None:
        self.socket.close()


def ask(port: int, request: bytes) -> Answer:
    """Send one request on a connection of its own."""
    line = Connection(port)
    try:
        return line.ask(request)
    finally:
        line.close()


def load(port: int, requests: Iterable[tuple[bytes, Any]], connections: int, *, until: Callable[[], bool] | None = None) -> list[Answer]:
    """Send requests over many connections, one at a time on each, until there are no more, all broke, or ``until`` says so."""
    return drive([Connection(port) for _ in range(connections)], requests, until=until, close=True)


def drive(
    lines: list[Connection], requests: Iterable[tuple[bytes, Any]], *, until: Callable[[], bool] | None = None, close: bool = False
) -> list[Answer]:
    """As :func:`load`, over connections that are there."""
    waiting, answers = iter(requests), []
    with selectors.DefaultSelector() as selector:
        busy = 0
        for line in lines:
            busy += _next(selector, line, waiting, answers, new=True)
        while busy and not (until is not None and until()):
            for key, _ in selector.select(0.2):
                answer = key.data.receive()
                if answer is None:
                    continue
                answers.append(answer)
                if answer.status == 0 or not _next(selector, key.data, waiting, answers, new=False):
                    selector.unregister(key.data.socket)
                    busy -= 1
    if close:
        for line in lines:
            line.close()
    return answers


def _next(selector: Any, line: Connection, waiting: Iterator[tuple[bytes, Any]], answers: list[Answer], *, new: bool) -> bool:
    """Send the next request on a connection; return whether there was one and the connection took it."""
    one = next(waiting, None)
    if one is None:
        return False
    try:
        line.send(*one)
    except OSError:
        answers.append(Answer(0, b"", 0.0, one[1]))
        return False
    if new:
        selector.register(line.socket, selectors.EVENT_READ, line)
    return True
