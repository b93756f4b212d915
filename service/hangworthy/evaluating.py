"""From the body of a request to its evaluation, ready to be answered or kept; in the service, and in the processes that help it."""

from datetime import UTC, date, datetime
from functools import lru_cache
from itertools import count
from typing import Any

import msgspec

from hangworthy.contract.finding import WorkAnswer
from hangworthy.engine.answered import Answered
from hangworthy.engine.evaluate import BadWorks
from hangworthy.engine.outline import Telling
from hangworthy.history.port import IndexedWork, NewEvaluation
from hangworthy.intake import Intake, from_bad_works


def evaluated(intake: Intake, body: bytes, day: date) -> tuple[Any, Answered]:
    """Return the decoded request and its evaluation on a day, without a time stamp. Raises BadInput with every fault."""
    request = intake.read(body)
    assert intake.evaluators is not None  # noqa: S101 - one that knows no venues reads no requests
    evaluator = intake.evaluators[intake.default if request.venue is None else request.venue]  # type: ignore[index] # the intake saw to it
    if request.language is not None:
        evaluator = evaluator.speaking(request.language)
    try:
        return request, evaluator.on(day).answer(request.works, request.stage)
    except BadWorks as bad:
        raise from_bad_works(bad) from None


def filed(intake: Intake, body: bytes, at: datetime, *, id: str | None = None, brief: bool = False) -> NewEvaluation:
    """Return the evaluation of a body at a time, as it is answered, with all by which it is found again. Raises BadInput with every fault.

    It says its ``id`` where it is to be kept. ``brief`` leaves out the findings that nobody has to act on.
    """
    request, answered = evaluated(intake, body, day_of(at))
    head = answered.head
    head.evaluated_at, head.id = stamp(at), id
    return NewEvaluation(
        id=id or "", at=at, request=body, answer=msgspec.json.encode(answered.to_act_on()) if brief else answered.encoded(),
        venue=head.venue.name, venue_version=head.venue.version, stage=head.stage.value, outcome=head.outcome.value,
        at_worst=head.at_worst.value, settled=head.settled, packs={one.name: one.version for one in head.packs},
        works=tuple(map(_indexed, count(), request.works, head.works, answered.told)),
    )  # fmt: skip


def _indexed(place: int, sent: Any, answer: WorkAnswer, told: Telling) -> IndexedWork:
    return IndexedWork(
        place=place, ref=answer.ref, artist_ref=sent.artist_ref, outcome=answer.outcome.value, at_worst=answer.at_worst.value,
        settled=answer.settled, unmet=told.unmet(),
    )  # fmt: skip


def stamp(moment: datetime) -> str:
    """Return a moment as answers and logs state it: UTC, whole seconds, Z. A moment without a zone is taken as UTC."""
    utc = moment if moment.tzinfo is UTC or moment.tzinfo is None else moment.astimezone(UTC)
    return _stamp(utc.replace(microsecond=0, tzinfo=None))


@lru_cache(maxsize=64)
def _stamp(second: datetime) -> str:
    """Return what many moments share: a busy service answers some thousand requests within a second."""
    return second.isoformat() + "Z"


def day_of(moment: datetime) -> date:
    """Return the day of a moment in UTC, up to which its evaluation counts days; so does one that is asked again."""
    return (moment if moment.tzinfo is None else moment.astimezone(UTC)).date()
