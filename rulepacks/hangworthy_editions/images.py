"""Which works show the same image: by what is declared, and by fingerprints within a distance.

What is declared (a work's reference in ``image_of``, one name for an image, one edition, the very same fingerprint) is an equivalence: it
is carried through chains, and makes classes. Nearness of fingerprints is none: in a chain each link may be near and its two ends far
apart, as in a series of variations. So fingerprints link two classes only directly, and a link is never carried on.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from hangworthy.contract import fact

from .formulas import BITS, Crowded, near_pairs

Texts = tuple[str | None, ...]
_NONE: frozenset[int] = frozenset()


class Shown(NamedTuple):
    """What tells which image a work shows, as facts; None where it is not known."""

    ref: str = fact("ref")
    artist: str | None = fact("artist_ref", optional=True)
    image_of: str | None = fact("editions.image_of", optional=True)
    edition_ref: str | None = fact("editions.edition_ref", optional=True)
    fingerprint: str | None = fact("editions.fingerprint", optional=True)
    mirror: str | None = fact("editions.mirror_fingerprint", optional=True)


class Images(NamedTuple):
    """``of`` is the class of each work; ``linked`` the classes whose fingerprints are near one of a class; ``members`` its works.

    ``crowded`` says that the fingerprints lie so close together that they tell nothing and were left out.
    """

    of: tuple[int, ...]
    linked: tuple[frozenset[int], ...]
    members: tuple[tuple[int, ...], ...]
    crowded: bool

    def kin(self, work: int) -> Iterable[int]:
        """Return the classes that show the image of a work, its own first."""
        own = self.of[work]
        return (own, *sorted(self.linked[own]))

    def others(self, work: int) -> Iterable[int]:
        """Yield the other works that show the image of a work."""
        return (other for one in self.kin(work) for other in self.members[one] if other != work)

    def alone(self, work: int) -> bool:
        """Return whether no other work shows the image."""
        own = self.of[work]
        return len(self.members[own]) == 1 and not self.linked[own]


class _Classes:
    """Disjoint sets of works."""

    def __init__(self, count: int) -> None:
        self.parent = list(range(count))

    def root(self, one: int) -> int:
        while self.parent[one] != one:
            self.parent[one] = self.parent[self.parent[one]]
            one = self.parent[one]
        return one

    def join(self, one: int, other: int) -> None:
        first, second = sorted((self.root(one), self.root(other)))
        self.parent[second] = first


def images_of(works: Sequence[Shown], bits: float) -> Images:
    """Return which works show the same image; ``bits`` is how far near fingerprints may differ."""
    return images(*zip(*works, strict=True), int(bits))


@lru_cache(maxsize=2)  # several rules ask for the same groups, and again for each uncertain figure
def images(refs: tuple[str, ...], artists: Texts, image_ofs: Texts, editions: Texts, prints: Texts, mirrors: Texts, bits: int) -> Images:
    """Return which works show the same image.

    A name in ``image_of`` that is no work's reference, and a reference of an edition, count within one artist; works without an artist's
    reference count as one artist's.
    """
    classes, seen = _Classes(len(refs)), {("work", "", ref): work for work, ref in enumerate(refs)}
    known = set(refs)
    for work, artist in enumerate(artists):
        keys = []
        if (image := image_ofs[work]) is not None:
            keys.append(("work", "", image) if image in known else ("name", artist or "", image))
        if (edition := editions[work]) is not None:
            keys.append(("edition", artist or "", edition))
        for key in keys:
            classes.join(work, seen.setdefault(key, work))
    upright, flipped = _filed(prints, bits), _filed(mirrors, bits)
    for works in upright.values():
        for work in works[1:]:
            classes.join(works[0], work)
    roots = [classes.root(work) for work in range(len(refs))]
    number = {root: place for place, root in enumerate(sorted(set(roots)))}
    of = tuple(number[root] for root in roots)
    members: list[list[int]] = [[] for _ in number]
    for work, one in enumerate(of):
        members[one].append(work)
    linked, crowded = _linked(of, len(number), upright, flipped, bits)
    return Images(of, linked, tuple(map(tuple, members)), crowded)


def _filed(fingerprints: Texts, bits: int) -> dict[int, list[int]]:
    """Return the works by fingerprint. One that is as near to a blank picture as two pictures may be to each other tells nothing."""
    filed: dict[int, list[int]] = {}
    for work, text in enumerate(fingerprints):
        if text is not None and bits < (value := int(text, 16)).bit_count() < BITS - bits:
            filed.setdefault(value, []).append(work)
    return filed


def _linked(
    of: tuple[int, ...], count: int, upright: dict[int, list[int]], flipped: dict[int, list[int]], bits: int
) -> tuple[tuple[frozenset[int], ...], bool]:
    """Return the classes that near fingerprints link, mirrored against upright included; mirrored against mirrored would say it twice."""
    values = sorted(upright.keys() | flipped.keys())
    links: dict[int, set[int]] = {}
    try:
        pairs = near_pairs(values, bits)
    except Crowded:
        return (_NONE,) * count, True
    own = [(values[place], values[other]) for place, other in pairs] + [(value, value) for value in upright.keys() & flipped.keys()]
    for one, other in own:
        for ours, theirs in ((upright, upright), (upright, flipped), (flipped, upright)):
            for mine in {of[work] for work in ours.get(one, ())}:
                for yours in {of[work] for work in theirs.get(other, ())}:
                    links.setdefault(mine, set()).add(yours)
                    links.setdefault(yours, set()).add(mine)
    return tuple(frozenset(links[one] - {one}) if one in links else _NONE for one in range(count)), False
