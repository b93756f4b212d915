"""Stretcher bars as beams: sections, and how far an even pull bows a single span.

Loads are the canvas's pull per length of bar; deflections lie in the plane of the canvas.
"""

from hangworthy_handbook.checks import positive


def second_moment(breadth_mm: float, height_mm: float) -> float:
    """Second moment of area of a rectangular section.

    Parameters
    ----------
    breadth_mm : side across the plane of bending; for a bar pulled by the canvas, its depth [mm]
    height_mm : side in the plane of bending; for a bar pulled by the canvas, its width [mm]

    Returns: b h^3 / 12 [mm^4]

    Validity: rectangular section. Errors: ValueError for numbers not above 0.
    Source: Roark, Formulas for Stress and Strain, section properties.
    Rows: B-07.
    """
    positive("breadth_mm", breadth_mm)
    positive("height_mm", height_mm)
    return breadth_mm * height_mm**3 / 12.0


def section_modulus(breadth_mm: float, height_mm: float) -> float:
    """Section modulus of a rectangular section.

    Parameters
    ----------
    breadth_mm : side across the plane of bending [mm]
    height_mm : side in the plane of bending [mm]

    Returns: b h^2 / 6 [mm^3]

    Validity, errors, source: as `second_moment`.
    Rows: B-07b.
    """
    positive("breadth_mm", breadth_mm)
    positive("height_mm", height_mm)
    return breadth_mm * height_mm**2 / 6.0


def flexural_rigidity(moe_mpa: float, second_moment_mm4: float) -> float:
    """Bending stiffness E I.

    Parameters
    ----------
    moe_mpa : modulus of elasticity along the grain [MPa]
    second_moment_mm4 : second moment of area [mm^4]

    Returns: E I [N m^2]

    Validity: one material. Errors: ValueError for numbers not above 0. Source: beam theory.
    Rows: WE-2a.
    """
    positive("moe_mpa", moe_mpa)
    positive("second_moment_mm4", second_moment_mm4)
    return moe_mpa * second_moment_mm4 * 1e-6


def even_load(load_n_m: float, length_mm: float, rigidity_n_m2: float) -> float:
    """w L^4 / (E I) [mm], which every evenly loaded beam's deflection is a fraction of.

    Parameters
    ----------
    load_n_m : even load [N/m]
    length_mm : span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]

    Errors: ValueError for numbers not above 0.
    """
    positive("load_n_m", load_n_m)
    positive("length_mm", length_mm)
    positive("rigidity_n_m2", rigidity_n_m2)
    return 1000.0 * load_n_m * (length_mm / 1000.0) ** 4 / rigidity_n_m2


def simple_beam_deflection(load_n_m: float, length_mm: float, rigidity_n_m2: float) -> float:
    """Deflection at mid-span of a simply supported beam under an even load: a bar whose corners give freely.

    Parameters
    ----------
    load_n_m : even load [N/m]
    length_mm : span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]

    Returns: 5 w L^4 / (384 E I) [mm]

    Validity: slender bar (length ten times its width or more), small deflection. Errors: ValueError for numbers not
    above 0. Source: Roark, straight beams; AISC Manual, beam diagrams.
    Rows: B-01.
    """
    return 5.0 / 384.0 * even_load(load_n_m, length_mm, rigidity_n_m2)


def fixed_beam_deflection(load_n_m: float, length_mm: float, rigidity_n_m2: float) -> float:
    """Deflection at mid-span of a beam with both ends held, under an even load: a bar whose corners do not give.

    Parameters
    ----------
    load_n_m : even load [N/m]
    length_mm : span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]

    Returns: w L^4 / (384 E I) [mm]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-02.
    """
    return even_load(load_n_m, length_mm, rigidity_n_m2) / 384.0


def _centre(force_n: float, length_mm: float, rigidity_n_m2: float) -> float:
    positive("force_n", force_n)
    positive("length_mm", length_mm)
    positive("rigidity_n_m2", rigidity_n_m2)
    return 1000.0 * force_n * (length_mm / 1000.0) ** 3 / rigidity_n_m2


def simple_beam_centre_load(force_n: float, length_mm: float, rigidity_n_m2: float) -> float:
    """Deflection at mid-span of a simply supported beam under a force at its centre.

    Parameters
    ----------
    force_n : force [N]
    length_mm : span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]

    Returns: P L^3 / (48 E I) [mm]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-03, B-03c.
    """
    return _centre(force_n, length_mm, rigidity_n_m2) / 48.0


def fixed_beam_centre_load(force_n: float, length_mm: float, rigidity_n_m2: float) -> float:
    """Deflection at mid-span of a beam with both ends held, under a force at its centre.

    Parameters
    ----------
    force_n : force [N]
    length_mm : span [mm]
    rigidity_n_m2 : bending stiffness E I [N m^2]

    Returns: P L^3 / (192 E I) [mm]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-04, B-04c.
    """
    return _centre(force_n, length_mm, rigidity_n_m2) / 192.0


def _moment(load_n_m: float, length_mm: float) -> float:
    positive("load_n_m", load_n_m)
    positive("length_mm", length_mm)
    return load_n_m * (length_mm / 1000.0) ** 2


def simple_beam_moment(load_n_m: float, length_mm: float) -> float:
    """Bending moment at mid-span of a simply supported beam under an even load.

    Parameters
    ----------
    load_n_m : even load [N/m]
    length_mm : span [mm]

    Returns: w L^2 / 8 [N m]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-01b, B-01c.
    """
    return _moment(load_n_m, length_mm) / 8.0


def fixed_beam_end_moment(load_n_m: float, length_mm: float) -> float:
    """Bending moment at the held ends of a beam under an even load: what the corner joints must carry.

    Parameters
    ----------
    load_n_m : even load [N/m]
    length_mm : span [mm]

    Returns: w L^2 / 12, without sign [N m]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-02b.
    """
    return _moment(load_n_m, length_mm) / 12.0


def centre_load_moment(force_n: float, length_mm: float) -> float:
    """Bending moment at mid-span of a simply supported beam under a force at its centre.

    Parameters
    ----------
    force_n : force [N]
    length_mm : span [mm]

    Returns: P L / 4 [N m]

    Validity, errors, source: as `simple_beam_deflection`.
    Rows: B-03b.
    """
    positive("force_n", force_n)
    positive("length_mm", length_mm)
    return force_n * length_mm / 4000.0


def bending_stress(moment_n_m: float, breadth_mm: float, height_mm: float) -> float:
    """Largest bending stress in a rectangular section.

    Parameters
    ----------
    moment_n_m : bending moment [N m]
    breadth_mm : side across the plane of bending [mm]
    height_mm : side in the plane of bending [mm]

    Returns: M / Z [MPa]

    Validity: elastic. Errors: ValueError for numbers not above 0. Source: beam theory.
    Rows: WE-2b.
    """
    positive("moment_n_m", moment_n_m)
    return 1000.0 * moment_n_m / section_modulus(breadth_mm, height_mm)
