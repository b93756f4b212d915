"""Ids that sort by time: UUID version 7 (RFC 9562), never going back within a process."""

import secrets
import threading
from collections.abc import Callable
from datetime import datetime

_RANDOM_BITS = 74
_MOST_STEP = 1 << 32


def uuid7_maker(clock: Callable[[], datetime], chance: Callable[[int], int] = secrets.randbits) -> Callable[[], str]:
    """Return a function that makes ids; each is greater than the one before, also within a millisecond or when the clock goes back.

    ``chance`` gives that many random bits.
    """
    lock, last = threading.Lock(), [-1, 0]

    def make() -> str:
        now = int(clock().timestamp() * 1000)
        with lock:
            if now > last[0]:
                last[:] = now, chance(_RANDOM_BITS - 1)  # the top bit stays free, so that steps have room
            else:
                last[1] += 1 + chance(32) % _MOST_STEP
                last[:] = last[0] + (last[1] >> _RANDOM_BITS), last[1] % (1 << _RANDOM_BITS)
            moment, rest = last
        return _written(moment, rest)

    return make


def _written(moment: int, rest: int) -> str:
    """Return the text of 48 bits of milliseconds and 74 bits, with version and variant between them."""
    return (
        f"{moment >> 16:08x}-{moment & 0xFFFF:04x}-{7 << 12 | rest >> 62:04x}-"
        f"{0b10 << 14 | rest >> 48 & 0x3FFF:04x}-{rest & 0xFFFFFFFFFFFF:012x}"
    )
