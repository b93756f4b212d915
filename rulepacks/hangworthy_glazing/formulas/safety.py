"""How panes break, and how hard they were struck to find out: EN 12600 and, as an equivalent, 16 CFR 1201."""

from typing import Final, NamedTuple

from hangworthy_handbook.checks import positive

GRAVITY: Final = 9.80665  # [m/s2], standard acceleration of free fall
IMPACTOR_KG: Final = 50.0  # EN 12600:2002: two tyres and a weight
FOOT_POUND_J: Final = 0.3048 * 0.45359237 * GRAVITY
_DROPS_MM: Final = {1: 1200.0, 2: 450.0, 3: 190.0}

# What people see on the floor, by mode of breakage.
PIECES: Final = {"A": "sharp pieces", "B": "pieces that stay together", "C": "small dice"}


class Classification(NamedTuple):
    """A class of EN 12600, as in 1(B)1.

    drop_class : 1, 2 or 3: the highest drop that the glass took whole or broke safely under [-]; mode : A sharp pieces,
    B held together, C small dice; whole_class : the highest drop that it took without letting the impactor through, 0 for
    none [-].
    """

    drop_class: int
    mode: str
    whole_class: int


def parse_classification(text: str) -> Classification:
    """Read a class of EN 12600 as it is stamped on glass: “1(B)1”, “2 (b) 2”.

    Parameters
    ----------
    text : the class; spaces and lower case are forgiven

    Returns: `Classification` [-]

    Validity: EN 12600 classifies flat glass; acrylic has no such class. A 0 in the last place, for glass that holds back
    no drop, is read too (from memory). Errors: ValueError for a text that is no class. Source: EN 12600:2002.
    No row: it returns a letter; `drop_height` and `drop_energy` hold the figures.
    """
    plain = "".join(text.split()).upper()
    if len(plain) != 5 or plain[1] != "(" or plain[3] != ")" or plain[0] not in "123" or plain[2] not in "ABC" or plain[4] not in "0123":
        raise ValueError(f"A class of EN 12600 looks like 1(B)1, 2(B)2 or 1(C)3, but {text[:20]!r} was given.")
    return Classification(int(plain[0]), plain[2], int(plain[4]))


def breakage_mode(material: str, film: bool) -> str:
    """How a pane breaks when its class is not known.

    Parameters
    ----------
    material : float-glass, toughened-glass, laminated-glass, acrylic or polycarbonate
    film : a safety film covers the whole pane [-]

    Returns: A, B or C as EN 12600 names the modes; "" for plastics, which it does not classify [-]

    Validity: a usual pane of its kind; a stamped class says more. Errors: ValueError for another material.
    Source: EN 12600:2002, the modes; film as laminated glass is common practice.
    No row: it returns a letter.
    """
    modes = {"float-glass": "A", "toughened-glass": "C", "laminated-glass": "B", "acrylic": "", "polycarbonate": ""}
    if material not in modes:
        raise ValueError(f"material should be one of {', '.join(modes)}, but is {material!r}.")
    return "B" if film and modes[material] else modes[material]


def drop_height(drop_class: int) -> float:
    """Height from which the impactor of a class of EN 12600 falls.

    Parameters
    ----------
    drop_class : 1, 2 or 3 [-]

    Returns: height [mm]

    Validity: the three classes. Errors: ValueError for another.
    Source: EN 12600:2002.
    Rows: G-17a, G-17b, G-17c.
    """
    if drop_class not in _DROPS_MM:
        raise ValueError(f"drop_class should be 1, 2 or 3, but is {drop_class!r}.")
    return _DROPS_MM[drop_class]


def drop_energy(height_mm: float, mass_kg: float = IMPACTOR_KG) -> float:
    """Energy with which a falling or swinging mass strikes.

    Parameters
    ----------
    height_mm : how far it falls [mm]
    mass_kg : its mass [kg]

    Returns: m g h [J]

    Validity: no friction; g = 9.80665 m/s2. Errors: ValueError for a height or mass that is not above 0.
    Source: mechanics; the impactor of EN 12600:2002 has 50 kg.
    Rows: G-19a, G-19b, G-19c, G-23a, G-23b.
    """
    positive("height_mm", height_mm)
    positive("mass_kg", mass_kg)
    return mass_kg * GRAVITY * height_mm / 1000.0


def joules_from_foot_pounds(energy_ft_lb: float) -> float:
    """Energy in joules, from the foot-pounds of 16 CFR 1201 and ANSI Z97.1.

    Picture glazing is outside the scope of 16 CFR 1201, which covers doors and enclosures: an equivalent, no demand.

    Parameters
    ----------
    energy_ft_lb : energy [ft lbf]

    Returns: energy [J]

    Validity: any number. Errors: none. Source: NIST SP 811; categories of 16 CFR 1201.4 from memory.
    Rows: G-23c, G-23d.
    """
    return energy_ft_lb * FOOT_POUND_J
