"""Clients that are slow, silent or hostile; the counts are arguments."""

import gzip
import time
from pathlib import Path
from statistics import median
from typing import Any

import psutil

from loading import Connection, ask, framed, serving

_MEGABYTE = 1 << 20
_WORK = b'{"works":[{"ref":"tide-1","title":"Low tide","mass_kg":4.2}]}'


def crowded(url: str, idle: int, half: int, slow: int, requests: int) -> dict[str, Any]:
    """Open connections that say nothing, that stop in the middle and that send a byte at a time; others are served meanwhile."""
    with serving(url) as service:
        port, process = service.port, psutil.Process(service.process.pid)
        good = Connection(port)
        for _ in range(50):
            assert good.ask(framed(_WORK)).status == 201
        before = process.memory_info().rss
        lines = [Connection(port) for _ in range(idle)]
        begun = [Connection(port) for _ in range(half)]
        for line in begun:
            line.socket.sendall(framed(_WORK)[:-20])
        dripping = [Connection(port) for _ in range(slow)]
        whole, times = framed(_WORK), []
        for place in range(requests):
            for line in dripping if place < len(whole) - 1 else ():
                line.socket.sendall(whole[place : place + 1])
            answer = good.ask(framed(_WORK))
            assert answer.status == 201
            times.append(answer.seconds)
        grown = process.memory_info().rss - before
        sent = min(requests, len(whole) - 1)
        for line in dripping:  # whoever is slow is answered in the end
            assert line.ask(whole[sent:]).status == 201
        for line in begun:
            assert line.ask(whole[-20:]).status == 201
        for line in (*lines, *begun, *dripping, good):
            line.close()
    return {"idle": idle, "half_sent": half, "slow": slow, "p50_ms": round(median(times) * 1e3, 1),
            "slowest_ms": round(max(times) * 1e3, 1), "grown_mb": round(grown / _MEGABYTE, 1)}  # fmt: skip


def bombs(url: str, times: int) -> dict[str, Any]:
    """Send bodies that would be huge when unpacked, and bodies that say they are huge."""
    packed = gzip.compress(b" " * (64 * _MEGABYTE), 9)
    with serving(url) as service:
        process = psutil.Process(service.process.pid)
        before = process.memory_info().rss
        statuses: set[int] = set()
        for _ in range(times):
            for coding in (b"gzip", b"br", b"deflate"):
                line = Connection(service.port)
                statuses.add(line.ask(framed(packed, more=b"content-encoding: %s\r\n" % coding)).status)
                line.close()
            line = Connection(service.port)
            line.socket.sendall(framed(_WORK).replace(b"length: %d" % len(_WORK), b"length: 9000000000"))
            time.sleep(0.05)
            line.close()
        assert ask(service.port, framed(_WORK)).status == 201
        grown = process.memory_info().rss - before
    return {"bombs": 4 * times, "statuses": sorted(statuses), "grown_mb": round(grown / _MEGABYTE, 1)}


def read_only_sqlite(folder: Path) -> dict[str, Any]:
    """Serve a database that cannot be written to."""
    file = folder / "history.sqlite3"
    with serving(f"sqlite:///{file}") as service:
        line = Connection(service.port)
        made = line.ask(framed(_WORK))
        assert made.status == 201
        line.close()
    with serving(f"sqlite:///{file}?mode=ro") as service:
        line = Connection(service.port)
        refused, plain = line.ask(framed(_WORK)), line.ask(framed(_WORK, record=False))
        keyed = line.ask(framed(_WORK, "key-1"))
        line.close()
    return {"recorded": refused.status, "keyed": keyed.status, "told": refused.body.decode(), "plain": plain.status}
