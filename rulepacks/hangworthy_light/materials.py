"""Which class of responsivity a work is in, from what is known of its materials: the worst of them counts.

Sources of the table: CIE 157:2004, materials by responsivity (from memory): oil and tempera low; watercolour, pastel, gouache, prints
and drawings, textiles medium; fugitive colours and newsprint high. CCI, sensitivity of coloured materials: felt pens, ballpoint, dyes
and colour photographs high; black-and-white photographs on fibre paper and paints of ASTM category I low. The rest is own policy.
"""

from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from hangworthy.contract import Check, Kind, Process, Technique, Undecided, fact

from .facts import Category, Fading, Responsivity
from .formulas import first_to_fade, responsivity_from_rating

CLASSES: Final[tuple[Responsivity, ...]] = ("R0", "R1", "R2", "R3")
WORDS: Final = ("lightproof", "robust", "sensitive", "very sensitive")

KINDS: Final[Mapping[str, int]] = {
    "work-on-paper": 2,  # CIE 157: drawings
    "original-print": 2,  # CIE 157: prints
    "photograph": 2,  # own policy: between the black-and-white and the colour process
    "reproduction": 2,  # own policy: as prints
    "textile": 2,  # CIE 157: costumes and tapestries
}
TECHNIQUES: Final[Mapping[str, int]] = {
    "oil": 1,  # CIE 157
    "thick-oil": 1,  # CIE 157
    "tempera": 1,  # CIE 157
    "acrylic": 1,  # own policy: as oil
    "watercolour": 2,  # CIE 157
    "gouache": 2,  # CIE 157
    "pastel": 2,  # CIE 157
    "graphite": 2,  # CIE 157: drawings; the paper counts, not the lead
    "charcoal": 2,  # CIE 157: drawings; the paper counts, not the coal
    "ink": 2,  # CIE 157: drawings; dye ink is asked for by itself
    "coloured-pencil": 2,  # own policy: as drawings
    "mixed": 2,  # own policy
    "felt-pen": 3,  # CCI
}
PROCESSES: Final[Mapping[str, int]] = {
    "woodcut": 2,  # CIE 157: prints, as are the next ones
    "linocut": 2,
    "wood-engraving": 2,
    "engraving": 2,
    "etching": 2,
    "lithograph": 2,
    "screenprint": 2,
    "monotype": 2,
    "offset": 2,  # own policy, as prints
    "inkjet": 2,  # own policy: pigment ink; dye ink is asked for by itself
    "laser-print": 2,  # own policy
    "gelatin-silver": 1,  # CCI, fibre paper with ultraviolet removed
    "platinum": 1,  # own policy: as gelatin silver
    "chromogenic": 3,  # CCI: colour photographs
    "instant-photograph": 3,  # own policy: as colour photographs
    "dye-transfer": 3,  # own policy: a dye
    "albumen": 3,  # own policy
    "cyanotype": 3,  # own policy: fades in light and comes back in part in the dark
}
# Kind -> the fact that tells its colours; the technique for all others.
_TOLD_BY: Final = {"original-print": "process", "photograph": "process", "reproduction": "process", "textile": ""}
# ASTM category -> the Blue Wool step that it is taken for; I is low in CCI's table, the others are own policy.
CATEGORY_RATINGS: Final[Mapping[str, float]] = {"I": 7.0, "II": 6.0, "III": 4.0, "IV": 2.0, "V": 1.0}


class Known(NamedTuple):
    """What is known of the materials, as facts; None where nothing is."""

    kind: Kind | None = fact("kind", optional=True)
    technique: Technique | None = fact("technique", optional=True)
    process: Process | None = fact("process", optional=True)
    responsivity: Responsivity | None = fact("light.responsivity", optional=True)
    blue_wool: float | None = fact("light.blue_wool", optional=True)
    category: Category | None = fact("light.paint_category", optional=True)
    fading: tuple[Fading, ...] | None = fact("light.fading_materials", optional=True)


class Material(NamedTuple):
    """A work's class, 0 to 3, and the Blue Wool step to reckon with (8 for class 0, where it is not used)."""

    responsivity: int
    rating: float

    @property
    def code(self) -> str:
        """The class as CIE 157 names it."""
        return CLASSES[self.responsivity]

    @property
    def words(self) -> str:
        """The class as a word that stands before “colours”."""
        return WORDS[self.responsivity]


class Span(NamedTuple):
    """The best and the worst that a work's materials may be, and the facts that would bring the two together."""

    best: Material
    worst: Material
    missing: tuple[str, ...] = ()


_FRAIL: Final = Material(3, first_to_fade(3))


def material_of(known: Known) -> Span | Undecided:
    """Return the class and step of a work, between the best and the worst that the known facts allow, or what would tell.

    A conservator's class comes first, then the step that makers print, then the category on the tubes, and only then the table of
    techniques, processes and kinds. Colours that fade may be in anything: until they are ruled out, the worst is class R3. A class and a
    step that contradict each other are both asked for again.
    """
    if known.responsivity is not None:
        return _declared(known, CLASSES.index(known.responsivity))
    if known.blue_wool is not None:
        return _exactly(Material(responsivity_from_rating(known.blue_wool), known.blue_wool))
    if known.category is not None:
        rating = CATEGORY_RATINGS[known.category]
        return _with_fading(known, Material(responsivity_from_rating(rating), rating), ())
    return _tabled(known)


def decide(span: Span, check: Callable[[Material], Check | Undecided]) -> Check | Undecided:
    """Return what holds for the best and the worst of a span alike; where they differ, what would tell."""
    worst = check(span.worst)
    if span.best == span.worst or (isinstance(worst, Check) and worst.met):
        return worst
    best = check(span.best)
    if isinstance(best, Check) and isinstance(worst, Check) and not best.met and best.effect is worst.effect:
        return best
    more = [one.missing for one in (best, worst) if isinstance(one, Undecided)]
    return Undecided(tuple(dict.fromkeys((*span.missing, *(path for paths in more for path in paths)))))


def _exactly(material: Material) -> Span:
    return Span(material, material)


def _declared(known: Known, declared: int) -> Span | Undecided:
    if known.blue_wool is not None and responsivity_from_rating(known.blue_wool) != declared:
        return Undecided(("light.responsivity", "light.blue_wool"))
    return _exactly(Material(declared, known.blue_wool or first_to_fade(declared)) if declared else Material(0, 8.0))


def _with_fading(known: Known, material: Material, missing: tuple[str, ...]) -> Span:
    """Return the span of a material, given what is known of colours that fade in it. An empty list says nothing."""
    worst = max(material, _FRAIL, key=lambda one: (one.responsivity, -one.rating))
    if any(one != "none" for one in known.fading or ()):
        return _exactly(worst)
    if not known.fading:
        missing = (*missing, "light.fading_materials")
    return Span(material, worst, missing) if missing and worst != material else _exactly(material)


def _tabled(known: Known) -> Span | Undecided:
    """Return what the table says; a process says more than the kind of work it makes."""
    if known.kind is None:
        return Undecided(("kind",))
    told_by = _TOLD_BY.get(known.kind, "technique")
    named = {"technique": known.technique, "process": known.process}
    missing = (told_by,) if told_by and named[told_by] is None else ()
    made = PROCESSES.get(known.process or "") or KINDS.get(known.kind)
    found = [one for one in (made, TECHNIQUES.get(known.technique or "")) if one]
    if not found and not missing:
        return Undecided(("light.responsivity",))
    # A process may yet turn out better than its kind of work, which only stands in for it.
    best = TECHNIQUES.get(known.technique or "", 1) if "process" in missing else max(found, default=1)
    return _with_fading(known, Material(best, first_to_fade(best)), missing)
