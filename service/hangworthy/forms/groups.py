"""Groups of a form: by the stage at which facts are due, then by who is asked, then by section; each fact in one place."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from hangworthy.contract.effect import Stage
from hangworthy.engine.language import Language
from hangworthy.engine.schema import Slot
from hangworthy.forms.concern import Concern

Json = dict[str, Any]


def groups(language: Language, slots: Sequence[Slot], asked: Mapping[str, Concern], stage: Stage | None) -> list[Json]:
    """Return the groups in the order to show them.

    With a stage, everything that is due until then is the first group, and later stages follow; without one, each stage is a group.
    """
    voice, made = language.voice, []
    until = -1 if stage is None else stage.rank
    if stage is not None:
        due = tuple(one for one in Stage if one.rank <= until)
        made.append(_group("due-now", voice.form_due_now, due, language, slots, asked))
    for one in Stage:
        if one.rank > until:
            made.append(_group(f"due-at-{one.value}", voice.form_due_at(one), (one,), language, slots, asked))
    return [group for group in made if group["parts"]]


def _group(
    name: str, title: str, stages: tuple[Stage, ...], language: Language, slots: Iterable[Slot], asked: Mapping[str, Concern]
) -> Json:
    parts: dict[tuple[str, str], list[Slot]] = {}
    for slot in slots:
        if asked[slot.path].due in stages:
            parts.setdefault((slot.ask.asked_of, slot.path.rpartition(".")[0]), []).append(slot)
    return {
        "id": name,
        "title": title,
        "stages": [stage.value for stage in stages],
        "parts": [_part(language, *key, parts[key]) for key in sorted(parts, key=lambda key: _place(key, parts[key]))],
    }


def _place(key: tuple[str, str], slots: Sequence[Slot]) -> tuple[bool, bool, int]:
    """The artist first, the work itself before its sections, then as they are declared."""
    return key[0] != "artist", key[1] != "", min(slot.index for slot in slots)


def _part(language: Language, asked_of: str, section: str, slots: Sequence[Slot]) -> Json:
    voice = language.voice
    return {
        "section": section or None,
        "title": language.sections[section or "work"],
        "asked_of": asked_of,
        "for": voice.form_artist if asked_of == "artist" else voice.form_coordinator,
        "facts": [slot.pointer for slot in slots],
    }
