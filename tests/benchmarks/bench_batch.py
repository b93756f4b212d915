"""How many works a second a batch answers, against single calls; the last line is one JSON object.

Run it with ``python tests/benchmarks/bench_batch.py``. ``hangworthy serve`` serves every installed pack at the default venue, with as many
processes for batches as there are processors; this process is the only client. The works are those of the demo's scenario with their
sizes changed from work to work; no work comes twice. Rounds of all kinds are interleaved; each figure is the median over the rounds of
works a second in a batch, against works a second when each work is a call of its own that waits for its answer before the next.

- ``commands``: single calls as a shell script makes them, one curl for each work; both sides recorded in SQLite, which is the default. It
  is left out where there is no curl.
- ``recorded``: single calls on one connection that stays open, the quickest way to make them; both sides recorded.
- ``recorded_each``: the same with a connection for each.
- ``kept_open``, ``connection_each``: nothing is recorded on either side.
- ``brief``: batches with detail=brief against single calls on one connection; nothing is recorded.
"""

import argparse
import json
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parent.parent))

from hangworthy.demo import demo_works
from loading import Connection, ask, framed, serving

BAR = 10.0


def works(count: int, start: int) -> list[bytes]:
    """Return works that differ in size, as the works of a programme do."""
    known = json.loads(demo_works())["works"]
    made = []
    for number in range(start, start + count):
        work = {name: value for name, value in known[number % len(known)].items() if name != "wall_name"}
        made.append(
            json.dumps({**work, "ref": f"w-{number}", "width_mm": 400 + number % 800, "height_mm": 300 + 7 * number % 900}).encode()
        )
    return made


def batch(port: int, lines: list[bytes], query: str) -> float:
    """Return works a second of one batch, sent and read at once on one connection."""
    started = time.perf_counter()
    with socket.create_connection(("127.0.0.1", port), timeout=120) as line:
        body = b"\n".join(lines)
        head = b"POST /evaluations/batch?%s HTTP/1.1\r\nhost: x\r\nconnection: close\r\n"
        head += b"content-type: application/jsonl\r\ncontent-length: %d\r\n\r\n"
        sender = threading.Thread(target=line.sendall, args=(head % (query.encode(), len(body)) + body,))
        sender.start()
        received = bytearray()
        while piece := line.recv(1 << 20):
            received += piece
        sender.join()
    took = time.perf_counter() - started
    assert received.count(b'"evaluation":{') == len(lines), received[:500]
    return len(lines) / took


def kept_open(port: int, lines: list[bytes], record: bool) -> float:
    connection = Connection(port)
    started = time.perf_counter()
    for one in lines:
        assert connection.ask(framed(b'{"works":[%s]}' % one, record=record)).status in (200, 201)
    took = time.perf_counter() - started
    connection.close()
    return len(lines) / took


def connection_each(port: int, lines: list[bytes], record: bool) -> float:
    started = time.perf_counter()
    for one in lines:
        assert ask(port, framed(b'{"works":[%s]}' % one, record=record)).status in (200, 201)
    return len(lines) / (time.perf_counter() - started)


def commands(port: int, lines: list[bytes], folder: Path) -> float:
    """Return works a second of a shell script that calls curl for each work."""
    for number, line in enumerate(lines):
        (folder / f"{number:06}.json").write_bytes(b'{"works":[%s]}' % line)
    call = f"curl -sf -o /dev/null http://127.0.0.1:{port}/evaluations -H 'Content-Type: application/json' -d"
    started = time.perf_counter()
    subprocess.run(["sh", "-ec", f'for one in *.json; do {call} "@$one"; done'], cwd=folder, check=True)
    took = time.perf_counter() - started
    for one in folder.glob("*.json"):
        one.unlink()
    return len(lines) / took


def measured(port: int, rounds: int, count: int, folder: Path) -> dict[str, float]:
    found: dict[str, list[float]] = {}
    for number in range(rounds):
        fresh = iter(range(number * 8 * count, (number + 1) * 8 * count, count))
        few = max(20, count // 4)
        rates = {
            "batch": batch(port, works(count, next(fresh)), "record=false"),
            "brief": batch(port, works(count, next(fresh)), "record=false&detail=brief"),
            "single": kept_open(port, works(few, next(fresh)), record=False),
            "each": connection_each(port, works(few, next(fresh)), record=False),
            "batch_recorded": batch(port, works(count, next(fresh)), "record=true"),
            "single_recorded": kept_open(port, works(few, next(fresh)), record=True),
            "each_recorded": connection_each(port, works(few, next(fresh)), record=True),
        }
        if shutil.which("curl"):
            rates["commands"] = commands(port, works(few, next(fresh)), folder)
        print(number, {name: round(rate) for name, rate in rates.items()}, flush=True)
        for name, (over, under) in RATIOS.items():
            if under in rates:
                found.setdefault(name, []).append(rates[over] / rates[under])
    return {name: median(ratios) for name, ratios in found.items()}


RATIOS = {
    "commands": ("batch_recorded", "commands"),
    "kept_open": ("batch", "single"),
    "connection_each": ("batch", "each"),
    "recorded": ("batch_recorded", "single_recorded"),
    "recorded_each": ("batch_recorded", "each_recorded"),
    "brief": ("brief", "single"),
}


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--works", type=int, default=400, help="works in a batch")
    parser.add_argument("--venue", default="", help="the file of a venue to serve at, for the default one")
    given = parser.parse_args()
    settings = {"venues": given.venue} if given.venue else {}
    with tempfile.TemporaryDirectory(prefix="hw-bench-") as folder, serving(f"sqlite:///{folder}/history.sqlite3", **settings) as server:
        batch(server.port, works(2_000, 10**6), "record=false&detail=brief")  # so that all processes are there
        (calls := Path(folder) / "calls").mkdir()
        ratios = measured(server.port, given.rounds, given.works, calls)
    print(json.dumps({name: {"ratio": round(ratio, 2), "bar": BAR, "holds": ratio >= BAR} for name, ratio in ratios.items()}))


if __name__ == "__main__":
    main()
