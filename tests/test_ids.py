"""Ids: UUIDv7, in the order they were made in, also within a millisecond and when the clock is set back."""

import uuid
from datetime import UTC, datetime, timedelta

from hangworthy.ids import uuid7_maker

NOW = datetime(2026, 3, 31, 12, 0, 0, 123000, tzinfo=UTC)


def test_ids_are_uuids_of_version_7_that_hold_the_time() -> None:
    one = uuid.UUID(uuid7_maker(lambda: NOW)())
    assert (one.version, one.variant) == (7, uuid.RFC_4122)
    assert one.int >> 80 == int(NOW.timestamp() * 1000)


def test_ids_sort_in_the_order_they_were_made_in() -> None:
    moments = [NOW] * 10_000 + [NOW - timedelta(hours=1)] * 10 + [NOW + timedelta(seconds=1)] * 3
    waiting = iter(moments)
    make = uuid7_maker(lambda: next(waiting))
    made = [make() for _ in moments]
    assert made == sorted(made)
    assert len(set(made)) == len(made)
