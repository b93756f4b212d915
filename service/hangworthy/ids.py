"""Ids that sort by time: UUIDv7 (RFC 9562, 5.7) with a counter, so that those of one process are in the order they were made in."""

import secrets
import threading
import uuid
from collections.abc import Callable
from datetime import datetime

_COUNTS = 1 << 12


def uuid7_maker(clock: Callable[[], datetime]) -> Callable[[], str]:
    """Return a maker of UUIDv7 as text over a clock; safe to share between threads.

    The 12 bits after the version count within one millisecond (RFC 9562, 6.2, method 1); the other 62 are chance.
    """
    lock, last, count = threading.Lock(), 0, 0

    def make() -> str:
        nonlocal last, count
        now = int(clock().timestamp() * 1000)
        with lock:
            count = count + 1 if now <= last else secrets.randbelow(_COUNTS // 2)
            last = max(now, last)
            if count >= _COUNTS:  # more than the counter holds: borrow the next millisecond, as the RFC allows
                last, count = last + 1, 0
            moment, number = last, count
        bits = moment << 80 | 7 << 76 | number << 64 | 2 << 62 | secrets.randbits(62)
        return str(uuid.UUID(int=bits))

    return make
