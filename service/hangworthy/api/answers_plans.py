"""What the API answers about plans that are made in the background."""

import msgspec

from hangworthy.plans.frames.answers import FramePlan


class PlanJobAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """A plan that is made in the background: its state, how far it is (0 to 1), and the plan once it is done."""

    id: str
    state: str
    progress: float
    venue: str
    asked_at: str
    plan: FramePlan | None = None
    failure: str | None = None
