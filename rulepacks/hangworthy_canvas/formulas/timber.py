"""Woods of stretcher bars: dimensional change coefficients, shrinkage and stiffness, each with where it was read."""

from collections.abc import Mapping
from typing import Final, NamedTuple

_TABLE_13_5: Final = "FPL-GTR-190 (2010) Table 13-5"
_TABLE_5_3: Final = "FPL-GTR-190 (2010) Table 5-3a"
_MEMORY: Final = ", from memory"


class Species(NamedTuple):
    """One wood; None where no figure is held.

    radial, tangential : dimensional change coefficients [1/%MC]; shrinkage_radial, shrinkage_tangential : green to
    oven-dry [%]; moe_mpa : modulus of elasticity at 12 %MC [MPa]; source : where the figures come from; rows : the rows
    held against them, by the start of their ids.
    """

    name: str
    radial: float | None
    tangential: float | None
    shrinkage_radial: float | None
    shrinkage_tangential: float | None
    moe_mpa: float | None
    source: str
    rows: str


def _by_memory(table: str) -> str:
    return table + _MEMORY


# Shrinkage is from memory for every wood; where a source names one table only, the other figures are too.
SPECIES: Final[tuple[Species, ...]] = (
    Species("alder, red", 0.00151, 0.00256, 4.4, 7.3, 9500, f"{_TABLE_13_5}; shrinkage, MOE from memory", "W-17, W-35a"),
    Species("basswood", 0.00230, 0.00330, 6.6, 9.3, 10100, f"{_TABLE_13_5}; shrinkage, MOE from memory", "W-13, W-35b"),
    Species("beech, american", 0.00190, 0.00431, 5.5, 11.9, 11900, f"{_TABLE_13_5}; rest from memory", "W-18, W-35c"),
    Species("douglas-fir, coast", 0.00165, 0.00267, 4.8, 7.6, 13400, _by_memory(_TABLE_13_5), "W-23, W-35d"),
    Species("fir, white", 0.00112, 0.00245, 3.3, 7.0, 10300, _by_memory(_TABLE_13_5), "W-24, W-35e"),
    Species("pine, eastern white", 0.00071, 0.00212, 2.1, 6.1, 8500, _by_memory(_TABLE_13_5), "W-20, W-33d"),
    Species("pine, ponderosa", 0.00133, 0.00216, 3.9, 6.2, 8900, f"{_TABLE_5_3}; rest from memory", "W-19, W-28"),
    Species("pine, red", None, None, None, None, 11200, _TABLE_5_3, "W-31"),
    Species("pine, shortleaf", None, None, None, None, 12100, _TABLE_5_3, "W-32b"),
    Species("pine, slash", None, None, None, None, 13700, _TABLE_5_3, "W-32c"),
    Species("pine, sugar", None, None, None, None, 8200, _TABLE_5_3, "W-29"),
    Species("pine, virginia", None, None, None, None, 10500, _TABLE_5_3, "W-32a"),
    Species("pine, western white", None, None, None, None, 10100, _TABLE_5_3, "W-30"),
    Species("spruce, engelmann", 0.00130, 0.00248, 3.8, 7.1, 8900, f"{_TABLE_13_5}, 5-3a from memory", "W-22, W-33c"),
    Species("spruce, red", None, None, None, None, 11100, _by_memory(_TABLE_5_3), "W-33b"),
    Species("spruce, sitka", 0.00148, 0.00263, 4.3, 7.5, 10800, f"{_TABLE_13_5}, 5-3a from memory", "W-21, W-33a"),
)
_BY_NAME: Final[Mapping[str, Species]] = {wood.name: wood for wood in SPECIES}


def species(name: str) -> Species:
    """The wood of that name.

    Parameters
    ----------
    name : genus first, as in "pine, ponderosa"; capitals do not matter [-]

    Returns: the wood's row

    Validity: the woods in SPECIES. Errors: ValueError for another name, listing those held.
    Source: per row. No row: those of `change_coefficient` and `modulus_of_elasticity` hold it.
    """
    wood = _BY_NAME.get(name.strip().lower())
    if wood is None:
        raise ValueError(f"No figures are held for the wood {name!r}. Those held are: {'; '.join(_BY_NAME)}.")
    return wood


def species_names() -> tuple[str, ...]:
    """Names of the woods that figures are held for, in the order of the alphabet.

    Returns: names, genus first

    Validity: all. Errors: none. Source: SPECIES. No row: it gives names.
    """
    return tuple(_BY_NAME)


def change_coefficient(name: str, direction: str) -> float:
    """Dimensional change coefficient of a wood.

    Parameters
    ----------
    name : the wood, genus first [-]
    direction : "radial" (quarter-sawn bar, across its width) or "tangential" (flat-sawn, and the greater) [-]

    Returns: change of size per size and percent of moisture content [1/%MC]

    Validity: 6 to 14 %MC. Errors: ValueError for another wood or direction, or where no figure is held.
    Source: FPL-GTR-190 (2010) Table 13-5; per row.
    Rows: W-13-CR, W-13-CT, W-17-CR, W-17-CT, W-18-CR, W-18-CT, W-19-CR, W-19-CT, W-20-CR, W-20-CT, W-21-CR, W-21-CT,
        W-22-CR, W-22-CT, W-23-CR, W-23-CT, W-24-CR, W-24-CT.
    """
    wood = species(name)
    if direction not in ("radial", "tangential"):
        raise ValueError(f'direction should be "radial" or "tangential", but is {direction!r}.')
    value = wood.radial if direction == "radial" else wood.tangential
    if value is None:
        raise ValueError(f"No {direction} change coefficient is held for {wood.name}.")
    return value


def modulus_of_elasticity(name: str) -> float:
    """Modulus of elasticity of a wood along the grain, at 12 %MC.

    Parameters
    ----------
    name : the wood, genus first [-]

    Returns: modulus [MPa]

    Validity: clear straight-grained wood; knots lower it. Errors: ValueError for another wood, or with no figure held.
    Source: FPL-GTR-190 (2010) Table 5-3a; per row.
    Rows: W-28, W-29, W-30, W-31, W-32a, W-32b, W-32c, W-33a, W-33b, W-33c, W-33d, W-35a, W-35b, W-35c, W-35d, W-35e.
    """
    wood = species(name)
    if wood.moe_mpa is None:
        raise ValueError(f"No modulus of elasticity is held for {wood.name}.")
    return wood.moe_mpa
