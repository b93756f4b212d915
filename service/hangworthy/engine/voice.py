"""The host's own sentences, for what every rule shares: not yet known, too close, could not be checked. Here in English."""

from collections.abc import Callable, Sequence
from functools import lru_cache

from hangworthy.contract.check import show
from hangworthy.contract.effect import Stage

Limits = tuple[str, str, float | None, float | None]


def tidy(number: float | None) -> float | None:
    """Return a number with six decimals, a small one with six significant digits: more would be noise, and differ between platforms."""
    if number is None:
        return None
    return round(number, 6) if number >= 0.1 or number <= -0.1 else float(f"{number:.6g}")


class Voice:
    """What the host says, in English. One in another language says the same, with the same figures (``engine/translated.py``)."""

    not_applicable_artist = "This does not concern your work."
    not_applicable_bench = "Does not apply to this work."
    error_artist = "We could not check this by machine. Your coordinator will look at it."
    borderline_plain = "This is too close to call with the figures you gave."
    coordinator_asked = "Nothing for you to do yet: your coordinator still has to look this up."
    others_artist = "We can tell once the other works on this list are filled in."

    def __init__(self) -> None:
        """Prepare to say limits; they are few and the same for every work, so what was said of them is kept."""
        self.limit_shown: Callable[[float | None, float | None, str], Limits] = lru_cache(maxsize=4096)(self._limit_shown)
        self.show: Callable[[float, str], str] = show

    def borderline(self, value: str, allowed_text: str) -> str:
        """Return the artist's sentence for a measurement that straddles its limit."""
        if not value:
            return self.borderline_plain
        return f"This is too close to call: {value} against {allowed_text}."

    def _limit_shown(self, low: float | None, high: float | None, unit: str) -> Limits:
        """Return a limit in words, its figure alone, and both ends tidied."""
        return self.allowed(low, high, unit), self.figure(low, high, unit), tidy(low), tidy(high)

    def figure(self, low: float | None, high: float | None, unit: str) -> str:
        """Return the limit's figure alone; both ends where there are two, nothing where there is none."""
        return " to ".join(self.show(end, unit) for end in (low, high) if end is not None)

    def allowed(self, low: float | None, high: float | None, unit: str) -> str:
        """Return the limit in words: at most, at least or between."""
        text = self.figure(low, high, unit)
        if low is None:
            return f"at most {text} allowed" if text else ""
        return f"at least {text} needed" if high is None else f"{text} allowed"

    def asked(self, titles: Sequence[str]) -> str:
        """Return the artist's sentence for facts that are asked for now."""
        return f"Please tell us: {self._listed([title.lower() for title in titles])}."

    def later(self, stage: Stage) -> str:
        """Return the artist's sentence for facts that are due at a later stage."""
        return f"Nothing to do yet: we look at this at the stage “{stage.value}”."

    def bench_unknown(self, measure: str, titles: Sequence[str]) -> str:
        """Return the coordinator's sentence for missing facts."""
        return f"{measure}: not known yet; missing: {self._listed([title.lower() for title in titles], 5)}."

    def bench_others(self, measure: str, refs: Sequence[str]) -> str:
        """Return the coordinator's sentence for an answer that waits for other works."""
        return f"{measure}: waits for facts of {self._listed(refs, 5)}."

    def bench_error(self, measure: str, why: str) -> str:
        """Return the coordinator's sentence for a rule that failed."""
        return f"{measure}: the rule failed ({why}). Decide by hand and tell the pack's author."

    def bench(self, measure: str, met: bool, value: str, allowed_text: str, probability: float | None) -> str:
        """Return the coordinator's sentence for a number against its limit."""
        if not value:
            return f"{measure}: {'as it should be' if met else 'not as it should be'}."
        text = f"{measure}: {value}, {allowed_text}" if allowed_text else f"{measure}: {value}"
        return f"{text}." if probability is None else f"{text}; kept with a probability of {probability * 100:.0f} %."

    def _listed(self, names: Sequence[str], most: int = 3) -> str:
        """Return names joined for reading, cut after ``most``."""
        head = ", ".join(names[:most])
        return f"{head} and {len(names) - most} more" if len(names) > most else head
