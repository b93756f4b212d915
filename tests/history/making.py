"""Invented evaluations, a clock that can be moved, and stores on both databases."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

from hangworthy.history.ids import uuid7_maker
from hangworthy.history.port import Idempotency, IndexedWork, NewEvaluation
from hangworthy.history.sql import SqlHistory

START = datetime(2026, 3, 31, 12, 0, 0, 987654, tzinfo=UTC)


class Clock:
    """A clock that moves by a millisecond with every look, and by more when it is told to."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now

    def move(self, by: timedelta) -> None:
        self.now += by


class Maker:
    """Makes evaluations, each a little later than the one before."""

    def __init__(self) -> None:
        self.clock = Clock()
        self.new_id = uuid7_maker(self.clock)

    def work(self, ref: str, place: int = 0, **details: Any) -> IndexedWork:
        return IndexedWork(place=place, ref=ref, **{"outcome": "ready", "at_worst": "repair", "settled": False, **details})

    def evaluation(self, *works: IndexedWork, **details: Any) -> NewEvaluation:
        works = works or (self.work("tide-7", artist_ref="artist-3", unmet=("canvas.lies-flat",)),)
        asked = [{"ref": one.ref, "artist_name": f"Painter of {one.ref}", "title": f"Title of {one.ref}"} for one in works]
        answered = [{"ref": one.ref, "findings": [{"rule": rule} for rule in one.unmet]} for one in works]
        at = self.clock()
        return NewEvaluation(**{
            "id": self.new_id(),
            "at": at,
            "request": json.dumps({"stage": "offer", "works": asked}, indent=1).encode(),
            "answer": json.dumps({"outcome": "ready", "works": answered}).encode(),
            "venue": "lantern-house",
            "venue_version": 1,
            "stage": "offer",
            "outcome": "ready",
            "at_worst": "repair",
            "settled": False,
            "packs": {"canvas": "1.2.0"},
            "works": works,
            **details,
        })  # fmt: skip

    def key(self, key: str, body: bytes = b"body", owner: str = "") -> Idempotency:
        return Idempotency(owner=owner, key=key, digest=body)

    def store(self, url: str, **details: Any) -> SqlHistory:
        return SqlHistory(url, clock=self.clock, new_id=self.new_id, **details)
