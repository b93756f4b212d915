"""Fading: would it be seen after the stay, after all that the work has had, and is it seen already?"""

from functools import partial

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    given,
    holds,
    rule,
    show,
    where,
)

from .facts import Colour
from .formulas import colour_difference, fade_difference, fade_dose, grey_scale_step
from .limits import GREY_SCALE, PRINT_GUILD, LightLimits
from .materials import Known, Material
from .stay import AGES, Spending, Stay, chance, lasting, over_the_stay
from .ultraviolet import Ultraviolet, uv_range


def _faded(
    limit: float, before: float, uv: tuple[float, float, tuple[str, ...]], days: float, a_day: Spending, material: Material
) -> Check | Undecided:
    """Return the just-noticeable fades that a stay and what went before spend, at least or at most, against a limit."""
    if not material.responsivity:
        return holds(True, note="class R0, which does not fade", lasts=AGES)
    slow, fast = fade_dose(material.rating, uv[0]), fade_dose(material.rating, uv[1])
    least, most = before + a_day.least * days, before + a_day.most * days
    if least / slow <= limit < most / fast:
        return Undecided(uv[2] if least / fast > limit or most / slow <= limit else (*a_day.missing, *uv[2]))
    spent, daily, needed = (most, a_day.most, fast) if most / fast <= limit else (least, a_day.least, slow)
    lasts = lasting(needed * limit - before, daily)
    note = (
        f"{show(spent / 1e6, '')} of {show(needed / 1e6, '')} million lx h at Blue Wool {show(material.rating, '')}, "
        f"a colour difference {_difference(fade_difference(spent, needed))}; what is left before the stay lasts {lasts}"
    )
    may = chance(needed * limit - before, daily)
    return at_most(spent / needed, limit, unit="", note=note, lasts=lasts, may=may, words=material.words)


_FARTHEST = 10.0  # Blue Wools and grey scales end well below it


def _difference(found: float) -> str:
    """Return a colour difference in words. The law of fading ends where the colour has gone; beyond that a figure says nothing."""
    return f"of about {show(found, '')}" if found <= _FARTHEST else f"far beyond {show(_FARTHEST, '')}"


@rule(
    "fade",
    effect=Effect.PREPARE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["fade_steps", "sun_lx", "uv_rich_uw_lm"],
    words=Words(
        measure="Just-noticeable fades over the stay",
        met="Your colours should not fade visibly over this stay; that would take {lasts}.",
        unmet="Over this stay {words} colours like yours may fade so that it shows.",
        remedy="We {may}choose a darker wall. Please look up how lightfast your colours are and tell us.",
        bench="Fading over the stay: {note}.",
        better="Look up the Blue Wool step of the colour that fades first, and log the light for a week.",
    ),
)
def fade(
    limits: LightLimits,
    stay: Stay,
    uv: Ultraviolet,
    known: Known,
) -> Check | Undecided:
    """Will the colours show no fade over the stay?

    The light of the whole stay over the dose of a just-noticeable fade at the work's Blue Wool step, or at the step of its class that fades
    first, with the ultraviolet there is. It passes up to the limit; what is not known is asked for only where it decides.
    """
    return over_the_stay(stay, known, limits.sun_lx, partial(_faded, limits.fade_steps, 0.0, uv_range(limits, uv)))


@rule(
    "fade-in-all",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=[given("light.exposure_lx_hours")],
    uses=["fade_steps_in_all", "sun_lx", "uv_rich_uw_lm"],
    words=Words(
        measure="Just-noticeable fades in all",
        met="With all the light it has had, your work could hang here for {lasts} before a first fade shows.",
        unmet="With all the light it has had, your work may show a first fade after {lasts} here.",
        remedy="We {may}choose a darker wall. We photograph it with a colour chart first, so that a change can be told.",
        bench="Fading in all, recorded exposure and stay: {note}.",
        better="Look up the Blue Wool step of the colour that fades first, and add up the earlier stays again.",
    ),
)
def fade_in_all(
    limits: LightLimits,
    stay: Stay,
    uv: Ultraviolet,
    known: Known,
    before: float = fact("light.exposure_lx_hours"),
) -> Check | Undecided:
    """Does all the light of its life stay below a first visible fade?

    The recorded exposure and the stay together, over the dose of a just-noticeable fade; asked of works whose exposure is recorded. It
    passes up to the limit. The ultraviolet of this wall is taken for all of it.
    """
    return over_the_stay(stay, known, limits.sun_lx, partial(_faded, limits.fade_steps_in_all, before, uv_range(limits, uv)))


@rule(
    "colour-kept",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=GREY_SCALE,
    due=Stage.ROTATION,
    applies=[given("light.colour_before", "light.colour_now")],
    uses=["colour_change"],
    words=Words(
        measure="Colour difference (CIEDE2000)",
        met="The colours have not changed visibly.",
        unmet="The spot that was measured has changed colour visibly: by a colour difference of {value}, and {limit} is just seen.",
        remedy="We take it down, let it rest in the dark, and choose darker walls from now on.",
        bench="Colour difference (CIEDE2000): {value}, at most {limit}; grey scale about {step}.",
        better="Measure the same spot five times, before and now, with one instrument; give the means with their ±.",
    ),
)
def colour_kept(
    limits: LightLimits, before: Colour = fact("light.colour_before"), now: Colour = fact("light.colour_now")
) -> Check | Undecided:
    """Have the colours stayed as they were?

    The colour difference of one marked spot between two measurements, which passes up to what is just noticed. A lightness outside 0 to 100
    is a slip, and is asked for again.
    """
    off = {"light.colour_before": before, "light.colour_now": now}
    wrong = tuple(path for path, colour in off.items() if not 0.0 <= colour[0] <= 100.0)
    if wrong:
        return Undecided(wrong)
    difference = colour_difference(before, now)
    return at_most(difference, limits.colour_change, unit="", step=(grey_scale_step(difference), ""))


@rule(
    "print-lightfast",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=PRINT_GUILD,
    due=Stage.HANGING,
    applies=[where("kind", "original-print", "photograph", "reproduction"), given("light.blue_wool")],
    uses=["print_rating"],
    words=Words(
        measure="Lowest Blue Wool step of the print",
        met="The inks of your print are as lightfast as the trade expects.",
        unmet="The ink that fades first is at step {value} of the Blue Wool scale; the print trade expects {limit} or more.",
        remedy="Choose pigment inks for the next printing, and tell the buyer to keep it out of bright light.",
        better="Ask the ink's maker for the Blue Wool step of each colour.",
    ),
)
def print_lightfast(limits: LightLimits, rating: float = fact("light.blue_wool")) -> Check:
    """Is the print as lightfast as the trade expects?

    The Blue Wool step of the colour that fades first, where it is declared; it passes from the limit up.
    """
    return at_least(rating, limits.print_rating, unit="")


FADING_RULES = (fade, fade_in_all, colour_kept, print_lightfast)
