"""The host's own sentences in another language, from the file of texts that lies beside this module."""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from hangworthy.contract.effect import Stage
from hangworthy.contract.languages import own_texts
from hangworthy.engine.template import names_in
from hangworthy.engine.terms import Figures, Shown
from hangworthy.engine.voice import Voice, none_at_all

# Every sentence of the host, and the values that it names.
SENTENCES: Mapping[str, tuple[str, ...]] = {
    "not_applicable_artist": (),
    "not_applicable_bench": (),
    "error_artist": (),
    "borderline_plain": (),
    "coordinator_asked": (),
    "others_artist": (),
    "form_title": (),
    "form_about": (),
    "form_due_now": (),
    "form_artist": (),
    "form_coordinator": (),
    "form_quantity": (),
    "yes": (),
    "no": (),
    "form_due_at": ("stage",),
    "borderline": ("measure", "said"),
    "borderline_value": ("allowed", "value"),
    "borderline_at": ("value",),
    "borderline_none": (),
    "both_ends": ("high", "low"),
    "none_allowed": (),
    "at_most": ("limit",),
    "at_least": ("limit",),
    "between": ("limit",),
    "asked": ("titles",),
    "later": ("stage",),
    "more": ("count", "head"),
    "bench_unknown": ("measure", "titles"),
    "bench_others": ("measure", "refs"),
    "bench_error": ("measure", "why"),
    "bench_met": ("measure",),
    "bench_unmet": ("measure",),
    "bench_value": ("measure", "value"),
    "bench_limit": ("allowed", "measure", "value"),
    "bench_probability": ("percent", "sentence"),
    "quoted": ("text",),
    "against": ("given", "quoted", "read", "title"),
    "counted": ("day", "days", "first", "title"),
    "to_come": ("first", "title"),
    "to_come_done": ("first",),
    "way_up": ("high", "wide"),
    "either": ("head", "last"),
}


class TranslatedVoice(Voice):
    """What the host says, in another language."""

    def __init__(self, content: Mapping[str, Any]) -> None:
        """Take the sentences, figures and stages. Raises KeyError for one that is missing, ValueError for one that cannot be filled."""
        super().__init__()
        figures = content["figures"]
        self.figures = Figures(figures["decimal"], figures["thousands"], figures["words"], content["sentences"]["quoted"])
        self.joins: Mapping[str, str] = content["joins"]
        self.stages = {stage: content["stages"][stage.value] for stage in Stage}
        self.show = self.figures.show
        self._texts: dict[str, str] = {name: content["sentences"][name] for name in SENTENCES}
        for name, named in SENTENCES.items():
            if names_in(self._texts[name]) != named:
                raise ValueError(f"sentences.{name} must name {', '.join(named) or 'nothing'}")
            if not named:
                setattr(self, name, self._texts[name])

    def _say(self, name: str, **values: object) -> str:
        return self._texts[name].format_map(values)

    def borderline(self, measure: str, value: str, allowed_text: str, at_limit: bool = False) -> str:
        """Return the artist's sentence for what was measured and straddles its limit; ``at_limit`` where both read alike."""
        if not value:
            return self.borderline_plain
        if not at_limit:
            said = self._say("borderline_value", value=value, allowed=allowed_text)
        else:
            said = self.borderline_none if allowed_text == self.none_allowed else self._say("borderline_at", value=value)
        return self._say("borderline", measure=measure, said=said)

    def figure(self, low: float | None, high: float | None, unit: str, digits: int = 3) -> str:
        """Return the limit's figure alone; both ends where there are two, nothing where there is none."""
        shown = [self.show(end, unit, digits) for end in (low, high) if end is not None]
        return Shown(self._say("both_ends", low=shown[0], high=shown[1]) if len(shown) == 2 else "".join(shown))

    def allowed(self, low: float | None, high: float | None, unit: str, digits: int = 3) -> str:
        """Return the limit in words: at most, at least, between, or none at all."""
        text = self.figure(low, high, unit, digits)
        if none_at_all(low, high, unit):
            return self.none_allowed
        if not text:
            return ""
        return self._say("at_most" if low is None else "at_least" if high is None else "between", limit=text)

    def asked(self, titles: Sequence[str]) -> str:
        """Return the artist's sentence for facts that are asked for now."""
        return self._say("asked", titles=self._listed(titles))

    def later(self, stage: Stage) -> str:
        """Return the artist's sentence for facts that are due at a later stage."""
        return self._say("later", stage=self.stages[stage])

    def form_due_at(self, stage: Stage) -> str:
        """Return the title of what is due at a stage."""
        return self._say("form_due_at", stage=self.stages[stage])

    def bench_unknown(self, measure: str, titles: Sequence[str]) -> str:
        """Return the coordinator's sentence for missing facts."""
        return self._say("bench_unknown", measure=measure, titles=self._listed(titles, 5))

    def bench_others(self, measure: str, refs: Sequence[str]) -> str:
        """Return the coordinator's sentence for an answer that waits for other works."""
        return self._say("bench_others", measure=measure, refs=self._listed(refs, 5))

    def bench_error(self, measure: str, why: str) -> str:
        """Return the coordinator's sentence for a rule that failed."""
        return self._say("bench_error", measure=measure, why=why)

    def bench(self, measure: str, met: bool, value: str, allowed_text: str, probability: float | None) -> str:
        """Return the coordinator's sentence for a number against its limit."""
        if not value:
            return self._say("bench_met" if met else "bench_unmet", measure=measure)
        text = self._say("bench_limit" if allowed_text else "bench_value", measure=measure, value=value, allowed=allowed_text)
        return (
            text if probability is None else self._say("bench_probability", sentence=text.rstrip("."), percent=f"{probability * 100:.0f}")
        )

    def quoted(self, text: str) -> str:
        """Return somebody's own words in quotation marks."""
        return self._say("quoted", text=text)

    def against(self, title: str, given: str, quoted: str, read: str) -> str:
        """Return the sentence for a fact that was given and reads otherwise in a text."""
        return self._say("against", title=title, given=given, quoted=quoted, read=read)

    def either(self, values: Sequence[str]) -> str:
        """Return two values or more of which a fact may have any."""
        return self._say("either", head=", ".join(values[:-1]), last=values[-1])

    def counted(self, title: str, days: str, first: str, day: str) -> str:
        """Return the sentence for days that were counted from a day that was given."""
        return self._say("counted", title=title, days=days, first=first, day=day)

    def to_come(self, title: str, first: str) -> tuple[str, str]:
        """Return the sentences for a day that is given and still to come, so that no days could be counted: what is so, what to do."""
        return self._say("to_come", title=title, first=first), self._say("to_come_done", first=first)

    def way_up(self, high: str, wide: str) -> str:
        """Return one way in which two numbers can be a size."""
        return self._say("way_up", high=self.figures.written(high), wide=self.figures.written(wide))

    def _listed(self, names: Sequence[str], most: int = 3) -> str:
        head = ", ".join(names[:most])
        return self._say("more", head=head, count=len(names) - most) if len(names) > most else head


def voice_in(language: str) -> tuple[TranslatedVoice, str]:
    """Return the host's voice in a language, and the text that it was made of."""
    text = own_texts(__package__ or "", language)
    return TranslatedVoice(tomllib.loads(text)), text
