"""What the service adds to the framework that it stands on, and how its cost grows with the number of works.

Run it with ``python tests/benchmarks/bench_service.py``; the last line is one JSON object. Both servers run in processes of their own
with the same settings of uvicorn. The client sends requests in a row on one connection without waiting for answers between them, so that
the server, and not the client, is what is measured. Rounds of both sides are interleaved; each figure is the median over the rounds.

- ``service_throughput``: ``POST /evaluations`` with one fully filled canvas, against a Litestar handler that decodes the same request
  type and encodes the same answer type and does nothing else.
- ``linear_in_works``: the cost of a further work in a request of 500, against its cost in a request of 50: how far the cost is from
  growing with the number of works alone (1 is exactly linear).
"""

import json
import socket
import subprocess
import sys
import time
import uuid
from datetime import UTC, datetime
from statistics import median
from typing import Any

import msgspec
import uvicorn
from bench_evaluation import WORK
from litestar import Litestar, post
from litestar.params import JSONBody

from hangworthy.app import create_app
from hangworthy.contract import Evaluation
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.settings import Settings

ROUNDS = 15
REQUESTS = 300
SIZES = {1: 40, 50: 6, 500: 1}  # works in a request: requests in a round
THROUGHPUT_BAR = 0.8
LINEAR_BAR = 1.2


def body(works: int) -> bytes:
    return json.dumps({"stage": "offer", "works": [{**WORK, "ref": f"tide-{number:03}"} for number in range(works)]}).encode()


def real() -> Litestar:
    catalogue = build_catalogue(*discover())
    return create_app(
        Settings(), catalogue, [Venue(name="default")], clock=lambda: datetime.now(UTC), new_id=lambda: str(uuid.uuid4())
    )  # fmt: skip


def idle() -> Litestar:
    """Return the handler that decodes and encodes and does nothing."""
    catalogue = build_catalogue(*discover())
    kind: Any = catalogue.schema.request
    request = msgspec.json.decode(body(1), type=kind)
    answer = Evaluator(Ruleset(catalogue, Venue(name="default"))).evaluate(request.works, request.stage)

    async def evaluate(data: Any) -> Evaluation:
        return answer

    evaluate.__annotations__["data"] = JSONBody[kind]
    return Litestar([post("/evaluations", status_code=200)(evaluate)], openapi_config=None, logging_config=None)


def serve(name: str) -> None:
    listener = socket.create_server(("127.0.0.1", 0))
    print(listener.getsockname()[1], flush=True)
    app = {"real": real, "idle": idle}[name]()
    uvicorn.Server(uvicorn.Config(app, log_config=None, access_log=False)).run(sockets=[listener])


class Client:
    """One connection to a server in a process of its own."""

    def __init__(self, name: str) -> None:
        self.process = subprocess.Popen([sys.executable, __file__, "--serve", name], stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.socket = socket.create_connection(("127.0.0.1", int(self.process.stdout.readline())), timeout=60)
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def close(self) -> None:
        self.socket.close()
        self.process.terminate()
        self.process.wait(10)

    def one(self, content: bytes) -> int:
        """Send one request and return how many bytes its answer has; every further answer to it is as long."""
        self.socket.sendall(framed(content))
        head = b""
        while b"\r\n\r\n" not in head:
            head += self.socket.recv(65536)
        assert head.startswith(b"HTTP/1.1 200"), head[:2000]
        length = int(head.lower().split(b"content-length: ")[1].split(b"\r\n")[0])
        size = head.index(b"\r\n\r\n") + 4 + length
        self._drain(size - len(head))
        return size

    def many(self, content: bytes, count: int, size: int) -> float:
        """Send requests in a row, and return the seconds until the last answer is there. ``size`` [bytes] is that of each answer."""
        batch = framed(content)
        wanted = size * count
        start = time.perf_counter()
        self.socket.setblocking(True)
        ahead = 8  # as many requests wait in the server's queue; more would only fill buffers
        for _ in range(min(ahead, count)):
            self.socket.sendall(batch)
        sent, got = min(ahead, count), 0
        while got < wanted:
            got += len(self.socket.recv(1 << 20))
            while sent < count and sent - got // size < ahead:
                self.socket.sendall(batch)
                sent += 1
        return time.perf_counter() - start

    def _drain(self, left: int) -> None:
        while left > 0:
            left -= len(self.socket.recv(1 << 20))


def framed(content: bytes) -> bytes:
    return b"POST /evaluations HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: %d\r\n\r\n" % len(content) + content


def throughput(ours: Client, theirs: Client) -> float:
    """Return our throughput over theirs."""
    content = body(1)
    sizes = [client.one(content) for client in (ours, theirs)]
    spent: list[list[float]] = [[], []]
    for number in range(ROUNDS + 2):
        for place, client in enumerate((ours, theirs)):
            took = client.many(content, REQUESTS, sizes[place])
            if number >= 2:  # the first rounds warm up
                spent[place].append(took)
    mine, other = median(spent[0]) / REQUESTS, median(spent[1]) / REQUESTS
    print(f"one canvas: {mine * 1e6:.0f} µs a request; decode and encode alone: {other * 1e6:.0f} µs")
    return other / mine


def linearity(ours: Client) -> float:
    """Return the cost of a further work between 50 and 500 over that between 1 and 50."""
    bodies = {works: body(works) for works in SIZES}
    sizes = {works: ours.one(content) for works, content in bodies.items()}
    spent: dict[int, list[float]] = {works: [] for works in SIZES}
    for number in range(ROUNDS + 2):
        for works, count in SIZES.items():
            took = ours.many(bodies[works], count, sizes[works]) / count
            if number >= 2:
                spent[works].append(took)
    cost = {works: median(times) for works, times in spent.items()}
    for works, took in cost.items():
        print(f"{works:4} works: {took * 1e3:8.3f} ms a request, {took / works * 1e6:7.1f} µs a work")
    return ((cost[500] - cost[50]) / 450) / ((cost[50] - cost[1]) / 49)


def main() -> None:
    ours, theirs = Client("real"), Client("idle")
    try:
        ratio, linear = throughput(ours, theirs), linearity(ours)
    finally:
        ours.close()
        theirs.close()
    figures = {
        "service_throughput": {"ratio": round(ratio, 3), "bar": THROUGHPUT_BAR, "holds": ratio >= THROUGHPUT_BAR},
        "linear_in_works": {"ratio": round(linear, 3), "bar": LINEAR_BAR, "holds": 1 / LINEAR_BAR <= linear <= LINEAR_BAR},
    }
    print(json.dumps(figures))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--serve"]:
        serve(sys.argv[2])
    else:
        main()
