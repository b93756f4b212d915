"""Doses: does a stay spend more light than the work's class may have in a year, and is the wall too bright for it?"""

from functools import partial

from hangworthy.contract import (
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    given,
    holds,
    rule,
    show,
)

from .formulas.dose import DAYS_A_YEAR
from .limits import CIE_157, LightLimits
from .materials import Known, Material, decide, material_of
from .stay import AGES, Spending, Stay, chance, lasting, over_the_stay

_DOSES = ("low_lx_h", "medium_lx_h", "high_lx_h", "sun_lx")
_BETTER = "Log the light on the wall for a week with a meter that adds up lux hours."


def _spent(limits: LightLimits, before: float, days: float, a_day: Spending, material: Material) -> Check | Undecided:
    """Return whether what went before and the days of a stay keep the year's limit; of a longer stay, one year counts."""
    if not material.responsivity:
        return holds(True, note="class R0, no limit", lasts=AGES)
    limit, days = limits.yearly(material.responsivity), min(days, DAYS_A_YEAR)
    least, most = before + a_day.least * days, before + a_day.most * days
    if least <= limit < most:
        return Undecided(a_day.missing)
    spent, daily = (most, a_day.most) if most <= limit else (least, a_day.least)
    lasts = lasting(limit - before, daily)
    note = (
        f"{show(spent, 'lx h')}, class {material.code}, at most {show(limit, 'lx h')} in a year; what is left before the stay lasts {lasts}"
    )
    much = "a little more than" if spent < 1.05 * limit else f"{show(spent / limit, '')} times"
    may = chance(limit - before, daily)
    return at_most(spent, limit, unit="lx h", words=material.words, much=much, lasts=lasts, may=may, note=note)


@rule(
    "dose",
    effect=Effect.PREPARE,
    step=Step.HANG,
    source=CIE_157,
    due=Stage.HANGING,
    uses=_DOSES,
    spends=True,
    words=Words(
        measure="Light over the stay",
        met="The light here is within what your work may have in a year; that would last {lasts}.",
        unmet="This stay would give your work {much} the light that {words} colours may have in a year.",
        remedy="We {may}choose a darker wall or fewer hours of light.",
        bench="Light over the stay: {note}.",
        better=_BETTER,
    ),
)
def dose_of_stay(
    limits: LightLimits,
    stay: Stay,
    known: Known,
) -> Check | Undecided:
    """Does the stay spend no more light than the work may have in a year?

    Lux times hours times lit days, and sun on top, against the yearly dose of the work's class; of a longer stay, one year counts. It
    passes up to the limit. Days with light and hours of sun are asked for only where they decide.
    """
    return over_the_stay(stay, known, limits.sun_lx, partial(_spent, limits, 0.0))


@rule(
    "dose-this-year",
    effect=Effect.PREPARE,
    step=Step.HANG,
    source=CIE_157,
    due=Stage.HANGING,
    applies=[given("light.exposure_year_lx_hours")],
    uses=_DOSES,
    spends=True,
    words=Words(
        measure="Light of the last year and of the stay",
        met="With the light it has had in the last year, your work may still hang here for {lasts}.",
        unmet="With its last stays this would be {much} the light that {words} colours may have in a year.",
        remedy="We {may}choose a darker wall. Or we let it rest in the dark first.",
        bench="Light of the last year and of the stay: {note}.",
        better=_BETTER,
    ),
)
def dose_this_year(
    limits: LightLimits,
    stay: Stay,
    known: Known,
    before: float = fact("light.exposure_year_lx_hours"),
) -> Check | Undecided:
    """Is there enough of the year's light left for the stay?

    What the work has had in the last twelve months counts with the stay, as the rule on the dose counts it; asked of works whose recorded
    exposure is given. The sum passes up to the year's limit.
    """
    return over_the_stay(stay, known, limits.sun_lx, partial(_spent, limits, before))


@rule(
    "brightness",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=CIE_157,
    due=Stage.HANGING,
    uses=["low_lx", "medium_lx", "high_lx"],
    words=Words(
        measure="Brightness of the wall",
        met="The wall is no brighter than is advised for your work.",
        unmet="The wall is lit with {light} lux; at most {most} lux is advised for {words} colours like yours.",
        remedy="We dim or turn the lamps, or draw a blind; a short stay does less harm.",
        bench="Brightness of the wall: {note}.",
    ),
)
def brightness(
    limits: LightLimits,
    known: Known,
    lx: float = fact("wall.illuminance_lx"),
) -> Check | Undecided:
    """Is the wall no brighter than is advised for the work?

    The light on the wall against the level that is advised for the work's class; it passes up to the limit. Offices are brighter than
    museums, so this is advice: the dose over the stay decides.
    """
    span = material_of(known)
    if isinstance(span, Undecided):
        return span
    return decide(span, lambda one: _bright(limits, lx, one))


def _bright(limits: LightLimits, lx: float, material: Material) -> Check:
    """Return whether a wall is no brighter than is advised for a class."""
    if not material.responsivity:
        return holds(True, note=f"{show(lx, 'lx')}, class R0, no limit")
    limit = limits.brightest(material.responsivity)
    note = f"{show(lx, 'lx')}, class {material.code}, at most {show(limit, 'lx')} advised"
    return at_most(lx, limit, unit="lx", words=material.words, light=(lx, ""), most=(limit, ""), note=note)


DOSE_RULES = (dose_of_stay, dose_this_year, brightness)
