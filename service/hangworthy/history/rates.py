"""How full a bucket of tokens is, reckoned from one number alone: the moment at which it is full again.

This is the generic cell rate algorithm (ITU-T I.371, annex A, as a virtual scheduling algorithm; from memory): with a token every ``step``,
taking one moves that moment by a step, and there is one to take as long as it does not move more than a period ahead. One number per
bucket can be changed by one statement, so that replicas agree without locks of their own. Times are microseconds since 1970.
"""

from hangworthy.history.port import Bucket, Level

PERIOD = 60_000_000
_SECOND = 1_000_000


def step(bucket: Bucket) -> int:
    """Return the microseconds in which a token flows in; at least one."""
    return max(1, PERIOD // bucket.most)


def taken(bucket: Bucket, full_at: int, now: int) -> int | None:
    """Return when a bucket is full again once a token was taken out of it now, or None when there is none in it."""
    then = max(full_at, now) + step(bucket)
    return then if then <= now + PERIOD else None


def level(bucket: Bucket, full_at: int, now: int) -> Level:
    """Return how a bucket stands that is full again at a moment; ``wait`` is for the next token."""
    short = max(0, full_at - now)
    return Level(
        left=max(0, min(bucket.most, (PERIOD - short) // step(bucket))),
        full_in=short / _SECOND,
        wait=max(0, short + step(bucket) - PERIOD) / _SECOND,
    )
