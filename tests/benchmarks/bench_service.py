"""What the service adds to the framework that it stands on, and how its cost grows with the number of works.

Run it with ``python tests/benchmarks/bench_service.py``; the last line is one JSON object. Both servers run in processes of their own
with the same settings of uvicorn, settled as ``hangworthy serve`` settles. The client sends requests in a row on one connection without
waiting for answers between them, so that the server, and not the client, is what is measured. Rounds of both sides are interleaved; each
figure is the median over the rounds.

- ``service_throughput``: ``POST /evaluations`` with one fully filled canvas at the default venue, with every installed pack, against a
  Litestar handler that decodes the same request type and encodes the same answer type and does nothing else. Each request changes one
  fact of the one before, as a form does while an artist types, and no two requests are the same: what did not change is remembered, the
  rest worked out.
- ``service_throughput_canvas``: the same at a venue with the canvas pack alone, where an answer is short and there is little to remember.
- ``service_throughput_all_new``, ``service_throughput_canvas_all_new``: the two, but every number of every request is new, so that
  nothing that concerns the canvas can be remembered. This is the work of the rules themselves (all sentences and all mechanics) beside a
  handler that does none; it is shown with the same bar.
- ``linear_in_works``: the cost of a further work in a request of 500, against its cost in a request of 50: how far the cost is from
  growing with the number of works alone (1 is exactly linear; less, where what was told of a work is told again of one that is alike).
"""

import json
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from statistics import median
from typing import Any

import msgspec
import uvicorn
from bench_evaluation import WORK
from litestar import Litestar, post
from litestar.params import JSONBody

from hangworthy.app import create_app
from hangworthy.cli.serving import settle
from hangworthy.contract import Evaluation
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.history.ids import uuid7_maker
from hangworthy.settings import Settings
from hangworthy.venues import default_venue

ROUNDS = 15
REQUESTS = 300
CHANGING = ("corner_gaps_mm", "edge_bow_mm", "diagonals_mm", "billow_mm", "press_deflection_mm", "tap_hz", "age_days")
SIZES = {1: 40, 50: 6, 500: 1}  # works in a request: requests in a round
THROUGHPUT_BAR = 0.8
LINEAR_BAR = 1.2


def body(works: int) -> bytes:
    return json.dumps({"stage": "offer", "works": [{**WORK, "ref": f"tide-{number:03}"} for number in range(works)]}).encode()


def nudged(value: Any, by: float) -> Any:
    """Return a measurement moved by a hair, so that no rule has seen it."""
    return [one + by for one in value] if isinstance(value, list) else value + by


def one_changes(count: int, start: int) -> list[bytes]:
    """Return bodies of which each differs from the one before in one measurement, no two alike."""
    canvas = dict(WORK["canvas"])
    made = []
    for number in range(count):
        name = CHANGING[number % len(CHANGING)]
        canvas[name] = nudged(WORK["canvas"][name], 1e-7 * (start + number + 1))
        made.append(framed(json.dumps({"stage": "offer", "works": [{**WORK, "canvas": dict(canvas)}]}).encode()))
    return made


def all_change(count: int, start: int) -> list[bytes]:
    """Return bodies in which every measurement is new."""
    made = []
    for number in range(count):
        by = 1e-7 * (start + number + 1)
        canvas = {name: nudged(value, by) if _measured(value) else value for name, value in WORK["canvas"].items()}
        work = {name: nudged(value, by) if _measured(value) else value for name, value in WORK.items()} | {"canvas": canvas}
        made.append(framed(json.dumps({"stage": "offer", "works": [work]}).encode()))
    return made


def _measured(value: Any) -> bool:
    return type(value) is float or (isinstance(value, list) and not isinstance(value[0], str))


def venue(packs: str) -> Venue:
    """Return a venue with the pack of that name, or with all of them."""
    return default_venue() if packs == "every" else Venue(name="default", packs=(packs,))


def real(packs: str) -> Litestar:
    catalogue = build_catalogue(*discover())

    def clock() -> datetime:
        return datetime.now(UTC)

    return create_app(Settings(), catalogue, [venue(packs)], clock=clock, new_id=uuid7_maker(clock))


def idle(packs: str) -> Litestar:
    """Return the handler that decodes and encodes and does nothing."""
    catalogue = build_catalogue(*discover())
    kind: Any = catalogue.schema.request
    request = msgspec.json.decode(body(1), type=kind)
    answer = Evaluator(Ruleset(catalogue, venue(packs))).evaluate(request.works, request.stage)

    async def evaluate(data: Any) -> Evaluation:
        return answer

    evaluate.__annotations__["data"] = JSONBody[kind]
    return Litestar([post("/evaluations", status_code=200)(evaluate)], openapi_config=None, logging_config=None)


def serve(name: str, packs: str) -> None:
    listener = socket.create_server(("127.0.0.1", 0))
    print(listener.getsockname()[1], flush=True)
    app = {"real": real, "idle": idle}[name](packs)
    settle()
    uvicorn.Server(uvicorn.Config(app, log_config=None, access_log=False)).run(sockets=[listener])


class Client:
    """One connection to a server in a process of its own."""

    def __init__(self, name: str, packs: str) -> None:
        self.process = subprocess.Popen([sys.executable, __file__, "--serve", name, packs], stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.socket = socket.create_connection(("127.0.0.1", int(self.process.stdout.readline())), timeout=60)
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.waiting = bytearray()

    def close(self) -> None:
        self.socket.close()
        self.process.terminate()
        self.process.wait(10)

    def many(self, bodies: Sequence[bytes]) -> float:
        """Send framed requests in a row, and return the seconds until the last answer is there."""
        start = time.perf_counter()
        ahead = 8  # as many requests wait in the server's queue; more would only fill buffers
        sent = min(ahead, len(bodies))
        self.socket.sendall(b"".join(bodies[:sent]))
        for _ in bodies:
            self._answer()
            if sent < len(bodies):
                self.socket.sendall(bodies[sent])
                sent += 1
        return time.perf_counter() - start

    def _answer(self) -> None:
        """Read one answer off the connection."""
        while (end := self.waiting.find(b"\r\n\r\n")) < 0:
            self._receive()
        head = bytes(self.waiting[:end]).lower()
        assert head.startswith(b"http/1.1 200"), bytes(self.waiting[:2000])
        size = end + 4 + int(head.split(b"content-length: ")[1].split(b"\r\n")[0])
        while len(self.waiting) < size:
            self._receive()
        del self.waiting[:size]

    def _receive(self) -> None:
        received = self.socket.recv(1 << 20)
        assert received, "the server closed the connection"
        self.waiting += received


def framed(content: bytes) -> bytes:
    return b"POST /evaluations HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: %d\r\n\r\n" % len(content) + content


def throughput(ours: Client, theirs: Client, bodies: Callable[[int, int], list[bytes]], name: str) -> float:
    """Return our throughput over theirs."""
    spent: list[list[float]] = [[], []]
    for number in range(ROUNDS + 2):
        sending = bodies(REQUESTS, number * REQUESTS)
        for place, client in enumerate((ours, theirs)):
            took = client.many(sending)
            if number >= 2:  # the first rounds warm up
                spent[place].append(took)
    mine, other = median(spent[0]) / REQUESTS, median(spent[1]) / REQUESTS
    print(f"one canvas, {name}: {mine * 1e6:.0f} µs a request; decode and encode alone: {other * 1e6:.0f} µs")
    return other / mine


def linearity(ours: Client) -> float:
    """Return the cost of a further work between 50 and 500 over that between 1 and 50."""
    bodies = {works: framed(body(works)) for works in SIZES}
    spent: dict[int, list[float]] = {works: [] for works in SIZES}
    for number in range(ROUNDS + 2):
        for works, count in SIZES.items():
            took = ours.many([bodies[works]] * count) / count
            if number >= 2:
                spent[works].append(took)
    cost = {works: median(times) for works, times in spent.items()}
    for works, took in cost.items():
        print(f"{works:4} works: {took * 1e3:8.3f} ms a request, {took / works * 1e6:7.1f} µs a work")
    return ((cost[500] - cost[50]) / 450) / ((cost[50] - cost[1]) / 49)


def throughputs(packs: str, then: Callable[[Client], float]) -> tuple[float, float, float]:
    """Return the throughput while one fact changes, and while all do, at a venue; and what ``then`` finds of our server."""
    ours, theirs = Client("real", packs), Client("idle", packs)
    try:
        warm = throughput(ours, theirs, one_changes, f"{packs} pack, one fact changes")
        return warm, throughput(ours, theirs, all_change, f"{packs} pack, every fact is new"), then(ours)
    finally:
        ours.close()
        theirs.close()


def main() -> None:
    every, every_new, _ = throughputs("every", lambda ours: 0.0)
    canvas, canvas_new, linear = throughputs("canvas", linearity)
    figures = {
        "service_throughput": every,
        "service_throughput_canvas": canvas,
        "service_throughput_all_new": every_new,
        "service_throughput_canvas_all_new": canvas_new,
    }
    shown = {name: {"ratio": round(ratio, 3), "bar": THROUGHPUT_BAR, "holds": ratio >= THROUGHPUT_BAR} for name, ratio in figures.items()}
    shown["linear_in_works"] = {"ratio": round(linear, 3), "bar": LINEAR_BAR, "holds": linear <= LINEAR_BAR}
    print(json.dumps(shown))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--serve"]:
        serve(sys.argv[2], sys.argv[3])
    else:
        main()
