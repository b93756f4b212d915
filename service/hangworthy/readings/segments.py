"""What belongs together in a line of dimensions: each group of measures with the words that say what was measured."""

from collections.abc import Iterable
from typing import Final, NamedTuple

from hangworthy.readings.model import Measure, Piece
from hangworthy.readings.words import AXES, DIVIDES, DURATION, EACH, EITHER, EMPTY, ROLES, ROUGH, SHAPES, THINGS, UNFRAMED, WITH, WITHOUT

# Where two roles stand at one group, the earlier here wins; an image that is the support as well is the support.
_RANK: Final = (
    "part",
    "frame",
    "window",
    "mount",
    "plate",
    "sheet",
    "support",
    "image",
    "object",
    "overall",
    "displayed",
    "unconfirmed",
    "other",
)
_KNOWN: Final = (
    AXES.keys() | DIVIDES | DURATION | EACH | EITHER | EMPTY | ROLES.keys() | ROUGH | SHAPES.keys() | THINGS | UNFRAMED | WITH | WITHOUT
)


class Labelled(NamedTuple):
    """A group of measures and what is said of it. ``colon``: its label ends in one; ``order``: as written beside it (“hw”); ``paper``: it
    is a size of paper, called by its name.
    """

    measures: tuple[Measure, ...]
    start: int
    end: int
    role: str
    colon: bool
    words: frozenset[str]
    order: str
    strange: tuple[Piece, ...]
    paper: bool


class _Draft:
    """A group while its words are being collected: those of earlier segments, those right before it, those behind."""

    def __init__(self, group: Piece, waiting: list[Piece], before: list[Piece]) -> None:
        self.group, self.waiting, self.before, self.after = group, waiting, before, list[Piece]()

    def finished(self) -> Labelled:
        ahead = [piece.text for piece in self.waiting]
        label, behind = [piece.text for piece in self.before], [piece.text for piece in self.after]
        role = _role(label) or _role([text for text in behind if text != ":"]) or _role(ahead)
        if not role:
            role = "other" if any(text not in _KNOWN and text != ":" for text in label) else "work"
        every = [*self.waiting, *self.before, *self.after]
        return Labelled(
            self.group.measures, self.group.start, self.group.end, role, ":" in (label[-1:] or ahead[-1:]),
            frozenset(piece.text for piece in every if piece.kind == "word"),
            next((piece.text for piece in every if piece.kind == "order"), ""),
            tuple(piece for piece in every if piece.kind == "word" and piece.text not in _KNOWN),
            self.group.text == "paper",
        )  # fmt: skip


def _role(words: list[str]) -> str:
    """Return what was measured, as these words say; nothing where they do not."""
    if any(word in UNFRAMED for word in words):
        return "unframed"
    found = set()
    for place, word in enumerate(words):
        if (role := ROLES.get(word)) and not (place and words[place - 1] in WITHOUT):
            found.add(role)
        elif role == "frame":
            return "unframed"
    return next((role for role in _RANK if role in found), "")


def labelled(line: Iterable[Piece]) -> tuple[list[Labelled], list[Piece]]:
    """Return the groups with their words, and the words that belong to none (“display dimensions variable”).

    A label before a group and a remark behind it are told apart by where the line is parted: words between two commas belong to what was
    measured before them, words at the start of a part to what follows, and within one part the first group shows which side its label is.
    """
    walk = _Walk()
    for piece in line:
        walk.take(piece)
    walk.part(hard=True)
    return [draft.finished() for draft in walk.drafts], walk.waiting


def _frames(words: list[Piece]) -> bool:
    """Return whether words between two groups are about the frame: “60 × 40 cm framed 80 × 60 cm” says how large it is framed."""
    return _role([piece.text for piece in words]) == "frame"


class _Walk:
    def __init__(self) -> None:
        self.drafts: list[_Draft] = []
        self.waiting: list[Piece] = []
        self.segment: list[Piece] = []
        self.fresh = True  # nothing was measured yet since the last hard break

    def take(self, piece: Piece) -> None:
        text = piece.text
        if (piece.kind == "mark" and text in ",()") or text == ";":
            self.part(hard=text == ";")
        elif (text in DIVIDES or (piece.kind == "mark" and text in "&+")) and piece.kind != "group":
            if any(one.kind == "group" for one in self.segment):
                self.part(hard=False)
        elif piece.kind != "mark" or text == ":":
            self.segment.append(piece)

    def part(self, *, hard: bool) -> None:
        """End a segment and give its words to their groups."""
        segment, self.segment = self.segment, []
        places = [place for place, piece in enumerate(segment) if piece.kind == "group"]
        if not places:
            if self.fresh or not self.drafts or any(piece.text == ":" for piece in segment[-1:]):
                self.waiting += segment
            else:
                self.drafts[-1].after += segment
        else:
            self._share(segment, places)
        self.fresh = hard or (self.fresh and not places)

    def _share(self, segment: list[Piece], places: list[int]) -> None:
        first = places[0] > 0  # labels come before their groups
        start, behind = 0, [piece.text for piece in segment[places[-1] + 1 :]]
        for place in places:
            words = segment[start:place]
            if start and not first and not (_frames(words) and not _role(behind)):
                self.drafts[-1].after += words
                words = []
            self.drafts.append(_Draft(segment[place], self.waiting, words))
            self.waiting, start = [], place + 1
        self.drafts[-1].after += segment[start:]
