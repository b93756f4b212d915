"""The wall: is it so cold that the air at it gets damp, or that water settles on it?"""

from hangworthy.contract import (
    CAUTION_MOULD,
    OWN_POLICY,
    Check,
    Effect,
    Kind,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    at_most,
    fact,
    rule,
    show,
)

from .formulas import coldest_surface, dew_point, humidity_at, surface_temperature
from .limits import CCI, ClimateLimits
from .sensitivity import DAMP_KINDS


def _surface(
    limits: ClimateLimits, temp: float, outer: bool | None, surface: float | None, outdoor: float | None
) -> tuple[float, str] | Undecided:
    """Return the temperature of the wall's surface [°C] and how it is known, or what to ask for.

    An inner wall is as warm as the room. An outer wall is estimated from the cold outdoors where nobody has measured it.
    """
    if surface is not None:
        return surface, "measured"
    if outer is None:
        return Undecided(("wall.outer_wall",))
    if not outer:
        return temp, "an inner wall"
    if outdoor is None:
        return Undecided(("wall.surface_c",))
    return min(temp, surface_temperature(temp, outdoor, limits.temperature_factor)), "estimated"


@rule(
    "mould",
    effect=(Effect.ADVISE, Effect.REFUSE),
    step=Step.HANG,
    source=CCI,
    due=Stage.HANGING,
    uses=["mould_rh", "temperature_factor"],
    cautions=[CAUTION_MOULD],
    words=Words(
        measure="Humidity at the wall",
        met="Mould is unlikely on this wall, though never ruled out: look behind the work now and then.",
        unmet="At this wall the air reaches {value} humidity; above {limit} mould can grow on your work.",
        remedy={
            Effect.ADVISE: "We look for an inner wall, or set spacers that let air pass behind it, and look there every month.",
            Effect.REFUSE: "We look for an inner wall: paper, canvas and cloth must not hang here until wall or room are warmer or drier.",
        },
        bench="Humidity at the wall: {note}.",
    ),
)
def mould(
    limits: ClimateLimits,
    temp: float = fact("wall.temp_c"),
    rh: float = fact("wall.rh_percent"),
    outer: bool | None = fact("wall.outer_wall", optional=True),
    surface: float | None = fact("wall.surface_c", optional=True),
    outdoor: float | None = fact("wall.outdoor_c", optional=True),
    kind: Kind = fact("kind", try_each=True),
) -> Check | Undecided:
    """Is the wall dry enough that mould is not to be expected?

    The room's air is as damp at a cold wall as its water vapour makes it there; the damper of wall and room counts, and passes up to the
    limit. An inner wall is as warm as the room; an outer wall is measured, or estimated from the cold outdoors and the declared temperature
    factor. Below the limit mould is unlikely, never impossible: some species grow in drier air. Paper, canvas and cloth are refused.
    """
    found = _surface(limits, temp, outer, surface, outdoor)
    if isinstance(found, Undecided):
        if rh <= limits.mould_rh:
            return found
        found = temp, "not needed: the room alone is too damp"
    value = max(rh, humidity_at(found[0], temp, rh))
    need = coldest_surface(temp, rh, limits.mould_rh)
    note = (
        f"{show(value, '%')}, at most {show(limits.mould_rh, '%')} allowed, in a room of {show(temp, '°C')} and {show(rh, '%')} "
        f"at a surface of {show(found[0], '°C')} ({found[1]}); the limit is reached at {show(need, '°C')}"
    )
    return at_most(value, limits.mould_rh, unit="%", effect=Effect.REFUSE if kind in DAMP_KINDS else Effect.ADVISE, note=note)


@rule(
    "no-dew",
    effect=Effect.PREPARE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    uses=["dew_margin_k", "temperature_factor"],
    cautions=[CAUTION_MOULD],
    words=Words(
        measure="Wall above the dew point",
        met="The wall stays warm enough that no water settles on it.",
        unmet="On cold days water can settle on this wall, behind your work.",
        remedy="We look for an inner wall; spacers do not help against water.",
        bench="Wall above the dew point: {note}.",
    ),
)
def no_dew(
    limits: ClimateLimits,
    temp: float = fact("wall.temp_c"),
    rh: float = fact("wall.rh_percent"),
    outer: bool | None = fact("wall.outer_wall", optional=True),
    surface: float | None = fact("wall.surface_c", optional=True),
    outdoor: float | None = fact("wall.outdoor_c", optional=True),
) -> Check | Undecided:
    """Does the wall stay warmer than the dew point?

    The dew point of the room's air, by the saturation pressure of water, against the temperature of the wall's surface: it passes from the
    margin up. The surface is known as for mould.
    """
    found = _surface(limits, temp, outer, surface, outdoor)
    if isinstance(found, Undecided):
        return found
    dew = dew_point(temp, rh)
    note = f"{show(found[0] - dew, 'K')}, a surface of {show(found[0], '°C')} ({found[1]}) and a dew point of {show(dew, '°C')}"
    return at_least(found[0] - dew, limits.dew_margin_k, unit="K", note=f"{note}; at least {show(limits.dew_margin_k, 'K')} needed")


WALL_RULES = (mould, no_dew)
