"""Languages of a catalogue: each made once, of the same packs and of the texts that lie beside them.

What a file leaves out stays English, sentence by sentence. Nothing that decides is touched: rules, limits and schema are the same.
"""

from collections.abc import Mapping

import msgspec

from hangworthy.contract.facts import Section
from hangworthy.contract.languages import DEFAULT_LANGUAGE, LANGUAGES
from hangworthy.contract.venue import WallFacts
from hangworthy.contract.work import SHARED_SECTIONS, WorkFacts
from hangworthy.engine.catalogue import Catalogue
from hangworthy.engine.fault import Fault, PackFaults
from hangworthy.engine.language import Language, english, headline

HOST: Mapping[str, type[Section]] = {"": WorkFacts, "wall": WallFacts, **SHARED_SECTIONS}


def language_of(catalogue: Catalogue, code: str) -> Language:
    """Return a catalogue's texts in a language; what is wrong in a file of texts stays English.

    Raises FileNotFoundError for a language that the host itself does not speak.
    """
    if code not in catalogue.spoken:
        catalogue.spoken[code] = _made(catalogue, code)[0]
    return catalogue.spoken[code]


def with_languages(catalogue: Catalogue, *, tolerate: bool = False) -> Catalogue:
    """Return the catalogue with every language made.

    Raises PackFaults for texts of what is not there, or with places that the English does not have; with ``tolerate`` these are kept as
    the catalogue's faults, and what they would say stays English.
    """
    found: list[Fault] = []
    for code in LANGUAGES:
        catalogue.spoken[code], wrong = _made(catalogue, code)
        found += wrong
    if found and not tolerate:
        raise PackFaults([*catalogue.faults, *found])
    return msgspec.structs.replace(catalogue, faults=(*catalogue.faults, *found))


def called(name: str) -> str:
    """Return what something is called in the way in which names are compared: in small letters, one space between its words."""
    return " ".join(name.split()).casefold()


def titles_of(catalogue: Catalogue) -> dict[str, tuple[str, ...]]:
    """Return what the facts of works are called in every language, in small letters, each with the paths of the facts so called."""
    found: dict[str, set[str]] = {}
    for code in LANGUAGES:
        for slot in language_of(catalogue, code).slots[: catalogue.schema.wall_start]:
            found.setdefault(called(slot.ask.title), set()).add(slot.path)
    return {title: tuple(sorted(paths)) for title, paths in found.items()}


def _sections(catalogue: Catalogue) -> dict[str, str]:
    """Return the English titles of the sections, the first to declare one before those that extend it."""
    titles = {name or "work": headline(cls.__doc__) for name, cls in HOST.items()}
    for one in catalogue.installed:
        for name, cls in one.pack.sections.items():
            titles.setdefault(name, headline(cls.__doc__))
    return titles


def _limits(catalogue: Catalogue) -> dict[str, str]:
    return {f"{one.pack.name}.{name}": spec.doc for one in catalogue.installed for name, spec in one.pack.limits.declared.items()}


def _made(catalogue: Catalogue, code: str) -> tuple[Language, list[Fault]]:
    plain = english(catalogue.schema, (*catalogue.entries, *catalogue.fits), _sections(catalogue), _limits(catalogue))
    if code == DEFAULT_LANGUAGE:
        return plain, []
    # What reads texts takes longer to import than the engine, and an answer in English never needs it.
    from hangworthy.engine.translating import translated

    return translated(catalogue, plain, code)


def choices_of(catalogue: Catalogue) -> dict[str, dict[str, str]]:
    """Return, by fact, what a form calls its choices in every language, in small letters, each with the choice.

    What two choices are called is left out.
    """
    found: dict[str, dict[str, set[str]]] = {}
    for code in LANGUAGES:
        for path, labels in language_of(catalogue, code).labels.items():
            for value, text in labels.items():
                found.setdefault(path, {}).setdefault(called(text), set()).add(value)
    return {path: {text: min(values) for text, values in names.items() if len(values) == 1} for path, names in found.items()}
