"""The host's own sentences, for what every rule shares: not yet known, too close, could not be checked. Here in English."""

from collections.abc import Callable, Sequence
from functools import lru_cache

from hangworthy.contract.check import Check, digits_apart
from hangworthy.contract.effect import Stage
from hangworthy.contract.quantities import show_quantity

Limits = tuple[str, str, float | None, float | None]


def tidy(number: float | None) -> float | None:
    """Return a number with six decimals, a small one with six significant digits: more would be noise, and differ between platforms."""
    if number is None:
        return None
    return round(number, 6) if number >= 0.1 or number <= -0.1 else float(f"{number:.6g}")


def none_at_all(low: float | None, high: float | None, unit: str) -> bool:
    """Return whether a limit allows nothing of what is measured; nought degrees Celsius are not nothing."""
    return low is None and high == 0.0 and unit != "°C"


class Voice:
    """What the host says, in English. One in another language says the same, with the same figures (``engine/translated.py``)."""

    not_applicable_artist = "This does not concern your work."
    not_applicable_bench = "Does not apply to this work."
    error_artist = "We could not check this by machine. Your coordinator will look at it."
    borderline_plain = "This is too close to call with the figures you gave."
    coordinator_asked = "Nothing for you to do yet: your coordinator still has to look this up."
    borderline_none = "none is allowed, and with the ± of your figures there may be some"
    none_allowed = "none allowed"
    others_artist = "We can tell once the other works on this list are filled in."

    form_title = "What we would like to know about your work"
    form_about = "Tell us what you know; what you leave out counts as not known, never as no."
    form_due_now = "Needed now"
    form_artist = "For the artist"
    form_coordinator = "For the coordinator"
    form_quantity = "A quantity as a person writes it: “36 1/2 in”, “6 ± 1”."
    yes, no = "Yes", "No"

    def __init__(self) -> None:
        """Prepare to say limits; they are few and the same for every work, so what was said of them is kept."""
        self.limit_shown: Callable[[float | None, float | None, str], Limits] = lru_cache(maxsize=4096)(self._limit_shown)
        self.show: Callable[..., str] = show_quantity

    def borderline(self, measure: str, value: str, allowed_text: str, at_limit: bool = False) -> str:
        """Return the artist's sentence for what was measured and straddles its limit; ``at_limit`` where both read alike."""
        if not value:
            return self.borderline_plain
        if not at_limit:
            said = f"{value}, {allowed_text}"
        else:
            said = self.borderline_none if allowed_text == self.none_allowed else f"{value}, just at the limit"
        return f"This is too close to call. {measure}: {said}."

    def apart(self, check: Check, measured: float) -> tuple[str, str, str]:
        """Return a measurement, its limit in words, and the limit's figure, with as many digits as tell the two apart."""
        low, high, unit = check.low, check.high, check.unit
        digits = max(digits_apart(measured, end, unit) for end in (low, high) if end is not None)
        return self.show(measured, unit, digits), self.allowed(low, high, unit, digits), self.figure(low, high, unit, digits)

    def at_limit(self, check: Check, value: str) -> bool:
        """Return whether a measurement reads like one of its limits."""
        return any(self.show(end, check.unit) == value for end in (check.low, check.high) if end is not None)

    def _limit_shown(self, low: float | None, high: float | None, unit: str) -> Limits:
        """Return a limit in words, its figure alone, and both ends tidied.

        7 and 7.0, or 0.0 and -0.0, are one limit to whoever remembers what was said of it: so they are said alike.
        """
        low, high = (None if end is None else float(end) + 0.0 for end in (low, high))
        return self.allowed(low, high, unit), self.figure(low, high, unit), tidy(low), tidy(high)

    def figure(self, low: float | None, high: float | None, unit: str, digits: int = 3) -> str:
        """Return the limit's figure alone; both ends where there are two, nothing where there is none."""
        return " to ".join(self.show(end, unit, digits) for end in (low, high) if end is not None)

    def allowed(self, low: float | None, high: float | None, unit: str, digits: int = 3) -> str:
        """Return the limit in words: at most, at least, between, or none at all."""
        if none_at_all(low, high, unit):
            return self.none_allowed
        text = self.figure(low, high, unit, digits)
        if low is None:
            return f"at most {text} allowed" if text else ""
        return f"at least {text} needed" if high is None else f"{text} allowed"

    def asked(self, titles: Sequence[str]) -> str:
        """Return the artist's sentence for facts that are asked for now."""
        return f"Please tell us: {self._listed([title.lower() for title in titles])}."

    def later(self, stage: Stage) -> str:
        """Return the artist's sentence for facts that are due at a later stage."""
        return f"Nothing to do yet: we look at this at the stage “{stage.value}”."

    def form_due_at(self, stage: Stage) -> str:
        """Return the title of what is due at a stage."""
        return f"At the stage “{stage.value}”"

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

    def quoted(self, text: str) -> str:
        """Return somebody's own words in quotation marks."""
        return f"“{text}”"

    def against(self, title: str, given: str, quoted: str, read: str) -> str:
        """Return the sentence for a fact that was given and reads otherwise in a text."""
        return f"{title}: {given} was given, but {quoted} says {read}. What was given counts."

    def either(self, values: Sequence[str]) -> str:
        """Return two values or more of which a fact may have any."""
        return f"{', '.join(values[:-1])} or {values[-1]}"

    def counted(self, title: str, days: str, first: str, day: str) -> str:
        """Return the sentence for days that were counted from a day that was given."""
        return f"{title}: {days}, counted from {first} to {day}."

    def to_come(self, title: str, first: str) -> tuple[str, str]:
        """Return the sentences for a day that is given and still to come, so that no days could be counted: what is so, what to do."""
        return f"{title}: {first} is still to come.", f"Put the day {first} right, or ask again once it has passed."

    def way_up(self, high: str, wide: str) -> str:
        """Return one way in which two numbers can be a size."""
        return f"{high} high and {wide} wide"

    def _listed(self, names: Sequence[str], most: int = 3) -> str:
        """Return names joined for reading, cut after ``most``."""
        head = ", ".join(names[:most])
        return f"{head} and {len(names) - most} more" if len(names) > most else head
