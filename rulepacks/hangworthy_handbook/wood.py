"""Wood and damp: moisture content in balance with the air, and how much a bar moves for it."""

from typing import Final

from .checks import positive, within

FIBRE_SATURATION: Final = 28.0  # [%MC], where shrinkage begins; species differ by a few percent
_COLDEST_C, _WARMEST_C = -1.2, 60.0


def _hailwood_horrobin(w: float, k: float, k1: float, k2: float, rh_percent: float) -> float:
    kh = k * rh_percent / 100.0
    hydrate = k1 * kh
    double = hydrate * k2 * kh
    return 1800.0 / w * (kh / (1.0 - kh) + (hydrate + 2.0 * double) / (1.0 + hydrate + double))


def emc(temp_c: float, rh_percent: float) -> float:
    """Moisture content of wood in balance with the air.

    Parameters
    ----------
    temp_c : temperature of the air [degC]
    rh_percent : relative humidity [%]

    Returns: equilibrium moisture content [%MC]

    Validity: -1.2 to 60 degC (30 to 140 degF), 0 to 100 % RH; within 0.06 %MC of the printed table at 21 degC from 5 to
    90 % RH. Wood takes days to weeks to follow the air. Errors: ValueError outside of the range.
    Source: two-hydrate Hailwood-Horrobin as fitted by USDA FPL, Wood Handbook, FPL-GTR-190 (2010) Table 4-2.
    Rows: W-01, W-02, W-03, W-04, W-05, W-06, W-11-05, W-11-10, W-11-15, W-11-20, W-11-25, W-11-35, W-11-45, W-11-55,
        W-11-70, W-11-75, W-11-85, W-11-90, W-12a, WE-1a, WE-1b.
    """
    within("temp_c", temp_c, _COLDEST_C, _WARMEST_C)
    within("rh_percent", rh_percent, 0.0, 100.0)
    t2 = temp_c * temp_c
    return _hailwood_horrobin(
        349.0 + 1.29 * temp_c + 0.0135 * t2,
        0.805 + 0.000736 * temp_c - 0.00000273 * t2,
        6.27 - 0.00938 * temp_c - 0.000303 * t2,
        1.91 + 0.0407 * temp_c - 0.000293 * t2,
        rh_percent,
    )


def emc_fahrenheit(temp_f: float, rh_percent: float) -> float:
    """Moisture content of wood in balance with the air, from the fit's Fahrenheit form.

    Parameters
    ----------
    temp_f : temperature of the air [degF]
    rh_percent : relative humidity [%]

    Returns: equilibrium moisture content [%MC]

    Validity: 29.8 to 140 degF, 0 to 100 % RH. Errors: ValueError outside of it.
    Source: as `emc`; the two forms agree within 0.02 %MC from 50 to 130 degF, 20 to 90 % RH.
    Rows: W-10.
    """
    within("temp_f", temp_f, 29.8, 140.0)
    within("rh_percent", rh_percent, 0.0, 100.0)
    t2 = temp_f * temp_f
    return _hailwood_horrobin(
        330.0 + 0.452 * temp_f + 0.00415 * t2,
        0.791 + 0.000463 * temp_f - 0.000000844 * t2,
        6.34 + 0.000775 * temp_f - 0.0000935 * t2,
        1.09 + 0.0284 * temp_f - 0.0000904 * t2,
        rh_percent,
    )


def movement(size_mm: float, coefficient: float, mc_from: float, mc_to: float) -> float:
    """Movement of wood across the grain for a change of moisture content.

    Parameters
    ----------
    size_mm : size at mc_from, across the grain [mm]
    coefficient : dimensional change coefficient, radial or tangential [1/%MC]
    mc_from, mc_to : moisture content before and after [%MC]

    Returns: change of size, negative when it shrinks [mm]

    Validity: 6 to 14 %MC; beyond it, use `movement_from_shrinkage`. Errors: ValueError outside of it, or for a size or
    coefficient that is not above 0. Source: Wood Handbook, FPL-GTR-190 (2010), with the coefficients of Table 13-5.
    Rows: W-13a, W-24a, W-24b.
    """
    positive("size_mm", size_mm)
    positive("coefficient", coefficient)
    within("mc_from", mc_from, 6.0, 14.0)
    within("mc_to", mc_to, 6.0, 14.0)
    return size_mm * coefficient * (mc_to - mc_from)


def movement_from_shrinkage(size_mm: float, shrinkage_percent: float, mc_from: float, mc_to: float) -> float:
    """Movement of wood across the grain for any change below fibre saturation, from its total shrinkage.

    Parameters
    ----------
    size_mm : size at mc_from, across the grain [mm]
    shrinkage_percent : shrinkage from green to oven-dry, radial or tangential [%]
    mc_from, mc_to : moisture content before and after [%MC]

    Returns: change of size, negative when it shrinks [mm]

    Validity: 0 to 30 %MC; within about 2 % of `movement` from 6 to 14 %MC. Errors: ValueError outside of it, or for a
    size or shrinkage that is not above 0. Source: Wood Handbook, the relation by total shrinkage (from memory).
    Rows: W-24c, W-24d.
    """
    positive("size_mm", size_mm)
    positive("shrinkage_percent", shrinkage_percent)
    within("mc_from", mc_from, 0.0, 30.0)
    within("mc_to", mc_to, 0.0, 30.0)
    return size_mm * (mc_to - mc_from) / (3000.0 / shrinkage_percent - 30.0 + mc_from)


def coefficient_from_shrinkage(shrinkage_percent: float, range_mc: float = 28.6) -> float:
    """Dimensional change coefficient that a wood's total shrinkage implies, for a wood without a printed one.

    Parameters
    ----------
    shrinkage_percent : shrinkage from green to oven-dry [%]
    range_mc : moisture range over which it shrinks in proportion; six hardwoods with both tables give 27.6 to 28.6 [%]

    Returns: coefficient [1/%MC]

    Validity: 6 to 14 %MC, good to about 4 %. Errors: ValueError for numbers not above 0.
    Source: consistency of the Wood Handbook's Table 13-5 with its table of shrinkage.
    Rows: W-19s, W-20s, W-20t, W-21s, W-21t, W-22s, W-23s.
    """
    positive("shrinkage_percent", shrinkage_percent)
    positive("range_mc", range_mc)
    return shrinkage_percent / (100.0 * range_mc)


def longitudinal_movement(
    length_mm: float, mc_from: float, mc_to: float, shrinkage_percent: float = 0.2, saturation: float = FIBRE_SATURATION
) -> float:
    """Movement of wood along the grain for a change of moisture content.

    Parameters
    ----------
    length_mm : length of the bar [mm]
    mc_from, mc_to : moisture content before and after [%MC]
    shrinkage_percent : shrinkage along the grain, green to oven-dry: 0.1 to 0.2 for most woods, up to 2 for juvenile or
        reaction wood, which also bows, crooks and twists [%]
    saturation : moisture content where shrinkage begins [%MC]

    Returns: change of length, negative when it shrinks [mm]

    Validity: below fibre saturation, in proportion. Errors: ValueError for contents outside 0 to saturation, shrinkage
    outside 0 to 2, or a length or saturation that is not above 0.
    Source: FPL-GTR-190 (2010) p. 4-5.
    Rows: W-25, W-26.
    """
    positive("length_mm", length_mm)
    positive("saturation", saturation)
    within("shrinkage_percent", shrinkage_percent, 0.0, 2.0)
    within("mc_from", mc_from, 0.0, saturation)
    within("mc_to", mc_to, 0.0, saturation)
    return length_mm * shrinkage_percent / 100.0 * (mc_to - mc_from) / saturation


def thermal_movement(length_mm: float, warming_k: float, expansion_per_k: float = 4.5e-6) -> float:
    """Movement of wood along the grain for a change of temperature: small beside that of damp, and of acrylic.

    Parameters
    ----------
    length_mm : length of the bar [mm]
    warming_k : change of temperature, negative when it cools [K]
    expansion_per_k : expansion along the grain, 3.1e-6 to 4.5e-6 [1/K]

    Returns: change of length [mm]

    Validity: oven-dry figures, room temperatures; up to 100 K. Errors: ValueError beyond it, or for a length or
    expansion that is not above 0. Source: Wood Handbook (from memory).
    Rows: W-27a, W-27b.
    """
    positive("length_mm", length_mm)
    positive("expansion_per_k", expansion_per_k)
    within("warming_k", warming_k, -100.0, 100.0)
    return length_mm * expansion_per_k * warming_k


def bending_modulus(moe_mpa: float, shear_share: float = 0.10) -> float:
    """Modulus for bending alone: the printed one was measured with the beam's own shear in it, and is lower.

    Parameters
    ----------
    moe_mpa : printed modulus of elasticity [MPa]
    shear_share : share to add back [ratio]

    Returns: modulus [MPa]

    Validity: slender clear specimens, share 0 to 0.2. Errors: ValueError outside of it, or for a modulus not above 0.
    Source: FPL-GTR-190 (2010) Table 5-3a, note (from memory).
    Rows: W-34.
    """
    positive("moe_mpa", moe_mpa)
    within("shear_share", shear_share, 0.0, 0.2)
    return moe_mpa * (1.0 + shear_share)
