"""A medium, read: what kind of work it is, by the first rule that decides; and technique or process where just one is named.

What counts is what it is made on, as the facts ask: canvas, a rigid panel, paper, a print from a matrix, a photograph.
"""

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from hangworthy.contract.reading import Family, KindRead
from hangworthy.readings.glazing import Pane, panes, read_panes, without
from hangworthy.readings.media import MORE, MOST_WORDS, MOUNTED, ON, TERMS, VERSO, Term
from hangworthy.readings.model import Found, Unsure
from hangworthy.readings.rules import RULES

_WORD: Final = re.compile(r"[^\W\d_]++(?:[-'’][^\W\d_]++)*+")
_SOURCE: Final = "medium"
_SHEETS: Final = frozenset(("sheet", "card"))
_MATERIALS: Final = frozenset(("bulk", "rigid", "pane", "cloth"))
_SUPPORTS: Final = frozenset(("sheet", "card", "stretched", "rigid", "board"))
_COLOURS: Final = frozenset(("drawn", "dusty", "painted"))
MOST_TEXT: Final = 200  # characters of the fact that keeps the words as they are


class Placed(NamedTuple):
    """A term and where it stands."""

    role: str
    value: str
    start: int
    end: int


class Made(NamedTuple):
    """A medium parted: what it is made with, what that is on (and what this is on in turn), and what is beside it.

    What it is mounted on does not count.
    """

    head: tuple[Placed, ...]
    supports: tuple[Placed, ...]
    tail: tuple[Placed, ...]

    def roles(self) -> frozenset[str]:
        """Return the roles of what it is made with."""
        return frozenset(term.role for term in self.head)

    def first(self, *roles: str) -> Placed | None:
        """Return the first term of these roles, wherever it stands."""
        return next((term for part in self for term in part if term.role in roles), None)


class _Word(NamedTuple):
    text: str
    start: int
    end: int


def terms(text: str) -> Iterator[Placed | _Word]:
    """Yield the known terms of a medium, the longest first, and every other word."""
    words = [_Word(match[0].lower().replace("’", "'"), match.start(), match.end()) for match in _WORD.finditer(text)]
    place = 0
    while place < len(words):
        found, size = _longest(text, words, place)
        if found is None:
            yield words[place]
        else:
            yield Placed(*found, words[place].start, words[place + size - 1].end)
        place += size


def _longest(text: str, words: list[_Word], place: int) -> tuple[Term | None, int]:
    phrase, found, size = "", None, 1
    for count in range(min(MOST_WORDS, len(words) - place)):
        word = words[place + count]
        if count and text[words[place + count - 1].end : word.start].strip():
            break
        phrase = f"{phrase} {word.text}" if count else word.text
        if phrase in TERMS:
            found, size = TERMS[phrase], count + 1
    return found, size


def parted(text: str) -> Made:
    """Part a medium at its “on”. Its other side (“verso: …”) is left out."""
    head, supports, tail = list[Placed](), list[Placed](), list[Placed]()
    expects, mounted = False, False  # a support comes next; what follows only carries the work
    for one in terms(text):
        expects = expects or (bool(head) and isinstance(one, Placed) and one.role in _SUPPORTS and _stroke(text, one.start))
        if isinstance(one, _Word):
            if one.text in VERSO:
                break
            expects = expects or one.text in ON or (one.text == "a" and text[one.end : one.end + 1] == ".")
            mounted = mounted or one.text in MOUNTED
            if one.text in MORE and supports:
                expects = False
        elif expects:
            expects = False
            if not mounted:
                supports.append(one)
        elif not mounted:
            (tail if supports else head).append(one)
    return Made(tuple(head), tuple(supports), tuple(tail))


def _stroke(text: str, start: int) -> bool:
    """Return whether a stroke stands right before a place: “Öl/Lw.” is oil on canvas."""
    return text[:start].rstrip(" ").endswith("/")


Answer = tuple[str, Family | None, str | None]


def _other_worlds(made: Made) -> Answer | None:
    """Read what needs a machine, stands on a base, is woven, or is said outright."""
    if made.first("moving"):
        return "moving", "other", "other"
    if made.first("copied"):
        return "copied", "reproduction", "reproduction"
    if "matrix" in made.roles():
        return "matrix", None, None
    if any(term.role == "base" for term in made.supports):
        return "on-base", "sculpture", "sculpture"
    if "woven" in made.roles() and not made.first("printed"):
        return "woven", "other", "textile"
    carved = next((term for term in made.head if term.role == "carved"), None)
    if carved and not made.first("printed"):
        return "carved", "sculpture", carved.value
    return None


def _materials(made: Made) -> Answer | None:
    """Read a list of materials that are on nothing: three-dimensional, but a relief or free-standing?"""
    if made.supports:
        things = "bulk" in made.roles() and made.supports[0].role in _SHEETS and not made.first("printed", "photo")
        return ("things-on-sheet", None, None) if things else None
    bulk = sum(term.role in _MATERIALS for term in made.head)
    pictures = made.roles() & {"photo", "printed", "unclear"}
    if bulk > 1 or (bulk and not pictures and not made.roles() & _COLOURS):
        return "materials", "sculpture", None
    return None


def _pictures(made: Made) -> Answer | None:
    """Read photographs and prints, and what is both."""
    photo, printed = made.first("photo"), made.first("printed")
    bulky = any(term.role == "bulk" for term in made.tail) and any(term.role == "rigid" or term.role == "bulk" for term in made.tail[1:])
    if photo and (printed or bulky):
        return "photo-and-more", None, None
    if photo:
        if "photo" in made.roles() and not made.roles() & _COLOURS:
            return "photo", "photograph", "photograph"
        if any(term.role == "photo" for term in made.supports):
            return "on-photo", "photograph", "photograph"
        return "photo-and-more", None, None
    if printed:
        if not any(term.role == "stretched" for term in made.supports):
            return "printed", "original-print", "original-print"
        return None if made.roles() & _COLOURS else ("print-on-canvas", None, None)
    return ("print-unclear", None, None) if made.first("unclear") else None


def _by_support(made: Made) -> Answer | None:
    """Read what it is painted or drawn on."""
    if not made.supports:
        return None
    roles = [term.role for term in made.supports]
    first, last, beside = roles[0], roles[-1], {term.role for term in made.tail}
    if first in _SHEETS and set(roles) <= _SHEETS:
        return "on-sheet", "work-on-paper", "work-on-paper"
    if first in _SHEETS:
        return ("on-panel", "other", "panel") if first == "card" and last == "rigid" else ("laid-down", None, None)
    things = _MATERIALS | {"stretched", "board", *_SHEETS}
    if made.roles() & (things - {first}) and "painted" not in made.roles():
        return "things-on-support", None, None
    if first == "stretched":
        mixed = made.roles() & {"bulk", "cloth"} or beside & _MATERIALS or last in {"rigid", "board"}
        return ("things-on-support", None, None) if mixed else ("on-canvas", "stretched-painting", "stretched-canvas")
    if first == "rigid":
        return "on-panel", "other", "panel"
    if first == "board":
        return ("on-panel", "other", "panel") if made.first("painted") else ("board-unclear", None, None)
    return "support-unclear", None, None


def read_medium(text: str) -> tuple[KindRead, list[Found], list[Unsure]]:
    """Read a medium. Never raises; what it does not tell is asked."""
    seen = panes(text)
    made = parted(without(text, seen))
    rule, family, kind = _other_worlds(made) or _materials(made) or _pictures(made) or _by_support(made) or ("nothing-known", None, None)
    every = [term for part in made for term in part]
    span = (min(term.start for term in every), max(term.end for term in every)) if every else (0, len(text))
    by, words = RULES[rule], text[span[0] : span[1]]
    read = KindRead(rule=rule, reason=by.reason, confidence=by.confidence, span=span, text=words, family=family, kind=kind)
    found, unsure = list[Found](), list[Unsure]()
    if kind is None:
        unsure.append(Unsure(("kind",), _SOURCE, *span, rule, _KINDS.get(rule, ())))
    else:
        found.append(Found("kind", kind, _SOURCE, *span, rule))
    if len(text) <= MOST_TEXT and text == text.strip():
        found.append(Found("medium", text, _SOURCE, 0, len(text), "as-written"))
    made_with = (*_made_with(made, "technique", _COLOURS, kind), *_made_with(made, "process", _PROCESSES, kind))
    for one in (*made_with, *_powder(made, kind), *_framed(text, seen), *read_panes(seen, _SOURCE)):
        (found if isinstance(one, Found) else unsure).append(one)  # type: ignore[arg-type]
    return read, found, unsure


_PART: Final = re.compile(r"[^,;.()|\r\n/]++")
_FRAMED: Final = {"framed": True, "gerahmt": True, "unframed": False, "ungerahmt": False}
_PROCESSES: Final = frozenset(("printed", "photo", "unclear"))
_PICTURES: Final = frozenset(("original-print", "photograph", "reproduction"))
_KINDS: Final[dict[str, tuple[str, ...]]] = {
    "materials": ("relief", "sculpture"),
    "print-unclear": ("original-print", "photograph", "reproduction"),
    "photo-and-more": ("photograph", "original-print", "work-on-paper"),
    "laid-down": ("work-on-paper", "stretched-canvas", "panel"),
    "print-on-canvas": ("original-print", "stretched-canvas", "reproduction"),
    "board-unclear": ("work-on-paper", "panel"),
}


def _made_with(made: Made, name: str, roles: frozenset[str], kind: str | None) -> Iterator[Found | Unsure]:
    """Yield technique or process: the one that is named. Of several nobody can say which is the main one."""
    pictured = made.first(*_PROCESSES) is not None if kind is None else kind in _PICTURES
    if (name == "process") != pictured:
        return
    named = [term for part in made for term in part if term.role in roles and term.value]
    values = tuple(dict.fromkeys(term.value for term in named))
    if name == "process" and len(values) > 1:
        values = tuple(value for value in values if value != "other") or values
    if not values:
        return
    span = (named[0].start, named[-1].end)
    if len(values) == 1:
        yield Found(name, values[0], _SOURCE, *span, f"one-{name}")
    else:
        yield Unsure(
            (name,), _SOURCE, *span, f"{name}-open", values + (("mixed",) if name == "technique" and "mixed" not in values else ())
        )


def _powder(made: Made, kind: str | None) -> Iterator[Unsure]:
    """Yield the question whether pastel, charcoal or chalk sheds powder: fixative is not told."""
    dusty = next((term for part in made for term in part if term.role == "dusty"), None)
    if dusty is not None and kind not in _PICTURES:
        yield Unsure(("friable",), _SOURCE, dusty.start, dusty.end, "powder-open")


def _framed(text: str, seen: list[Pane]) -> Iterator[Found]:
    """Yield whether it is framed, where one part of the text says just this, “oil on canvas, framed”, or with a pane: “framed behind
    glass”. “To be framed” says another thing.
    """
    told = [
        (_FRAMED[word], part.end() - len(part[0].lstrip()), part.start() + len(part[0].rstrip()))
        for part in _PART.finditer(text)
        if (word := part[0].strip().lower()) in _FRAMED
    ]
    told += [(True, *one.framed) for one in seen if one.framed]
    if len({framed for framed, *_ in told}) == 1:
        yield Found("framed", told[0][0], _SOURCE, *told[0][1:], "framed-told")
