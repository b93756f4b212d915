"""The fixed vocabulary of answers: stages, effects, states, outcomes; each with its order."""

from enum import StrEnum


class _Ordered(StrEnum):
    """Members are ordered as they are written: earlier or milder first."""

    rank: int
    __hash__ = str.__hash__  # an enum's own would be a Python call for every look-up

    def __new__(cls, text: str) -> "_Ordered":
        member = str.__new__(cls, text)
        member._value_ = text
        member.rank = len(cls.__members__)
        return member


class Stage(_Ordered):
    """Where a work is in its life with the programme."""

    OFFER = "offer"
    ARRIVAL = "arrival"
    HANGING = "hanging"
    ROTATION = "rotation"
    RETURN = "return"


class Effect(_Ordered):
    """What an unmet rule means, mildest first."""

    ADVISE = "advise"
    PREPARE = "prepare"
    REPAIR = "repair"
    REFUSE = "refuse"


class Outcome(_Ordered):
    """What the findings of a work add up to, best first. Advice leaves a work ready."""

    READY = "ready"
    PREPARE = "prepare"
    REPAIR = "repair"
    REFUSE = "refuse"


class State(StrEnum):
    """The state of one finding."""

    MET = "met"
    UNMET = "unmet"
    BORDERLINE = "borderline"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not_applicable"
    ERROR = "error"


TO_ACT_ON = (State.UNMET, State.ERROR, State.BORDERLINE)  # what somebody has to do something about
