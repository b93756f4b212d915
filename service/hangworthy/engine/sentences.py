"""The host's own sentences, for what every rule shares: not yet known, too close, could not be checked."""

from collections.abc import Sequence

from hangworthy.contract.check import show
from hangworthy.contract.effect import Stage

NOT_APPLICABLE_ARTIST = "This does not concern your work."
NOT_APPLICABLE_BENCH = "Does not apply to this work."
ERROR_ARTIST = "We could not check this by machine. Your coordinator will look at it."
BORDERLINE_PLAIN = "This is too close to call with the figures you gave."
COORDINATOR_ASKED = "Nothing for you to do yet: your coordinator still has to look this up."
OTHERS_ARTIST = "We can tell once the other works on this list are filled in."


def _listed(names: Sequence[str], most: int = 3) -> str:
    """Return names joined for reading, cut after ``most``."""
    head = ", ".join(names[:most])
    return f"{head} and {len(names) - most} more" if len(names) > most else head


def borderline(value: str, allowed_text: str) -> str:
    """Return the artist's sentence for a measurement that straddles its limit."""
    if not value:
        return BORDERLINE_PLAIN
    return f"This is too close to call: {value} against {allowed_text}."


def figure(low: float | None, high: float | None, unit: str) -> str:
    """Return the limit's figure alone; both ends where there are two, nothing where there is none."""
    return " to ".join(show(end, unit) for end in (low, high) if end is not None)


def allowed(low: float | None, high: float | None, unit: str) -> str:
    """Return the limit in words: at most, at least or between."""
    text = figure(low, high, unit)
    if low is None:
        return f"at most {text} allowed" if text else ""
    return f"at least {text} needed" if high is None else f"{text} allowed"


def asked(titles: Sequence[str]) -> str:
    """Return the artist's sentence for facts that are asked for now."""
    return f"Please tell us: {_listed([title.lower() for title in titles])}."


def later(stage: Stage) -> str:
    """Return the artist's sentence for facts that are due at a later stage."""
    return f"Nothing to do yet: we look at this at the stage “{stage.value}”."


def bench_unknown(measure: str, titles: Sequence[str]) -> str:
    """Return the coordinator's sentence for missing facts."""
    return f"{measure}: not known yet; missing: {_listed([title.lower() for title in titles], 5)}."


def bench_others(measure: str, refs: Sequence[str]) -> str:
    """Return the coordinator's sentence for an answer that waits for other works."""
    return f"{measure}: waits for facts of {_listed(refs, 5)}."


def bench_error(measure: str, why: str) -> str:
    """Return the coordinator's sentence for a rule that failed."""
    return f"{measure}: the rule failed ({why}). Decide by hand and tell the pack's author."


def bench(measure: str, met: bool, value: str, allowed_text: str, probability: float | None) -> str:
    """Return the coordinator's sentence for a number against its limit."""
    if not value:
        return f"{measure}: {'as it should be' if met else 'not as it should be'}."
    text = f"{measure}: {value}, {allowed_text}" if allowed_text else f"{measure}: {value}"
    return f"{text}." if probability is None else f"{text}; kept with a probability of {probability * 100:.0f} %."
