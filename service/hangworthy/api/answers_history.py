"""The answers of the API about what is kept: evaluations, works' lives, changes, replays, versions of venues."""

from datetime import datetime

import msgspec

from hangworthy.contract.effect import Outcome, Stage
from hangworthy.contract.finding import Evaluation
from hangworthy.engine.changes import Cause, EvaluationChange
from hangworthy.history.port import Summary, WorkMoment


class SummaryAnswer(msgspec.Struct, frozen=True):
    """A recorded evaluation in short: what was asked where and when, what it came to, and the refs of its works."""

    id: str
    evaluated_at: datetime
    venue: str
    venue_version: int
    stage: Stage
    outcome: Outcome
    at_worst: Outcome
    settled: bool
    works: tuple[str, ...]
    packs: dict[str, str]


class EvaluationList(msgspec.Struct, frozen=True):
    """Recorded evaluations, newest first; the header Link leads to the pages beside this one."""

    items: tuple[SummaryAnswer, ...]


class MomentAnswer(msgspec.Struct, frozen=True):
    """One evaluation in the life of a work: what the work came to then, and the rules that it did not meet."""

    id: str
    evaluated_at: datetime
    venue: str
    stage: Stage
    outcome: Outcome
    at_worst: Outcome
    settled: bool
    unmet: tuple[str, ...]


class MomentList(msgspec.Struct, frozen=True):
    """The life of a work, newest first; the header Link leads to older moments. Empty where nothing is known of it."""

    items: tuple[MomentAnswer, ...]


class ChangesAnswer(msgspec.Struct, frozen=True):
    """What changed from the evaluation ``since`` to the evaluation ``id``."""

    id: str
    since: str
    changes: EvaluationChange


class ReplayAnswer(msgspec.Struct, frozen=True):
    """A recorded evaluation, asked again. ``identical``: every byte is as it was, but for the time stamp.

    ``causes`` are the rules that decide otherwise, each with the limits that are others now. ``erased`` counts the works that were
    erased since and could not be asked again. ``evaluation`` is the new answer; it is not recorded, and keeps the id of the old one.
    """

    id: str
    replayed_at: datetime
    identical: bool
    erased: int
    causes: tuple[Cause, ...]
    changes: EvaluationChange
    evaluation: Evaluation | msgspec.Raw


class ErasedAnswer(msgspec.Struct, frozen=True):
    """What erasing a work left: in how many evaluations it was, the digests of what was taken out, how many plans were dropped with it."""

    ref: str
    evaluations: int
    digests: tuple[str, ...]
    plans: int


class VersionAnswer(msgspec.Struct, frozen=True, omit_defaults=True):
    """One version of a venue: when it was kept, by which key, and its ETag."""

    version: int
    kept_at: datetime
    etag: str
    made_by: str | None = None


class VersionList(msgspec.Struct, frozen=True):
    """All versions of a venue, newest first."""

    items: tuple[VersionAnswer, ...]
    venue: str


def summary(one: Summary) -> SummaryAnswer:
    """Return a summary as it is answered."""
    return SummaryAnswer(
        one.id, one.at, one.venue, one.venue_version, Stage(one.stage), Outcome(one.outcome), Outcome(one.at_worst), one.settled,
        one.works, dict(one.packs),
    )  # fmt: skip


def moment(one: WorkMoment) -> MomentAnswer:
    """Return a moment as it is answered."""
    return MomentAnswer(
        one.id, one.at, one.venue, Stage(one.stage), Outcome(one.outcome), Outcome(one.at_worst), one.settled, one.unmet
    )  # fmt: skip
