"""Which class of responsivity a work is in, from what is known of its materials: the worst of them counts.

Sources of the table: CIE 157:2004, materials by responsivity (from memory): oil and tempera low; watercolour, pastel, gouache, prints
and drawings, textiles medium; fugitive colours and newsprint high. CCI, sensitivity of coloured materials: felt pens, ballpoint, dyes
and colour photographs high; black-and-white photographs on fibre paper and paints of ASTM category I low. The rest is own policy.
"""

from collections.abc import Mapping
from typing import Final, NamedTuple

from hangworthy.contract import Kind, Process, Technique, Undecided

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
# ASTM category -> the Blue Wool step that it is taken for; I is low in CCI's table, the others are own policy.
CATEGORY_RATINGS: Final[Mapping[str, float]] = {"I": 7.0, "II": 6.0, "III": 4.0, "IV": 2.0, "V": 1.0}


class Known(NamedTuple):
    """What is known of the materials, as facts; None where nothing is."""

    kind: Kind | None
    technique: Technique | None
    process: Process | None
    responsivity: Responsivity | None
    blue_wool: float | None
    category: Category | None
    fading: tuple[Fading, ...] | None


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


def material_of(known: Known) -> Material | Undecided:
    """Return the class and step of a work, or what would tell.

    A conservator's class comes first, then the step and the category that makers print, with any material that fades; only then the table
    of techniques, processes and kinds. A class and a step that contradict each other are both asked for again.
    """
    stated = _stated(known)
    if known.responsivity is None:
        return stated or _tabled(known)
    declared = CLASSES.index(known.responsivity)
    if known.blue_wool is not None and responsivity_from_rating(known.blue_wool) != declared:
        return Undecided(("light.responsivity", "light.blue_wool"))
    if not declared:
        return Material(0, 8.0)
    return Material(declared, known.blue_wool or first_to_fade(declared))


def _fades(known: Known) -> bool:
    return any(one != "none" for one in known.fading or ())


def _stated(known: Known) -> Material | None:
    """Return what makers' ratings say: the lowest step counts."""
    ratings = [] if known.blue_wool is None else [known.blue_wool]
    if known.category is not None:
        ratings.append(CATEGORY_RATINGS[known.category])
    if _fades(known) and (known.blue_wool is None or known.blue_wool >= 4.0):
        ratings.append(first_to_fade(3))
    if not ratings:
        return None
    return Material(responsivity_from_rating(min(ratings)), min(ratings))


def _tabled(known: Known) -> Material | Undecided:
    """Return what the table says; a process says more than the kind of work it makes."""
    made = PROCESSES.get(known.process or "") or KINDS.get(known.kind or "")
    found = [one for one in (made, TECHNIQUES.get(known.technique or "")) if one]
    if not found:
        return Undecided(_would_tell(known))
    worst = max(found)
    return Material(worst, first_to_fade(worst))


def _would_tell(known: Known) -> tuple[str, ...]:
    """Return which fact to ask for: the technique, unless it is known and says nothing."""
    if known.kind is None:
        return ("kind",)
    return ("technique",) if known.technique is None else ("light.responsivity",)
