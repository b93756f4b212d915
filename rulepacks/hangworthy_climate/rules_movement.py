"""Between two climates: how big is the step, and how far do wood and paper move?"""

from hangworthy.contract import (
    OWN_POLICY,
    Check,
    Effect,
    Kind,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    rule,
    show,
    where,
)

from .facts import Support
from .formulas import panel_movement, sheet_movement
from .limits import ClimateLimits
from .sensitivity import SHEETS, WATER_TAKING

_STILL = ("metal", "glass", "stone", "ceramic", "plastic")
_SAID = {"mdf": "fibreboard", "solid-wood": "solid wood", "other": "solid wood"}
_ROOM_FOR_SHEETS = "Ask your framer to hinge the sheet along its top edge only, with nothing glued down all round."
_ROOM_FOR_PANELS = "Ask your framer to hold it by clips that let it move, with room in the rebate and no glue or screws through it."
_ROOM_FOR_SCULPTURE = "Ask us for a room whose air is closer to that of its place now, or for a closed case."
_BETTER = "Read the hygrometer in both places for a week and give the means with their ±."


@rule(
    "settles-in",
    effect=Effect.ADVISE,
    step=Step.HANG,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=[where("kind", *WATER_TAKING)],
    uses=["step_rh"],
    words=Words(
        measure="Change of humidity",
        met="The venue's air is close enough to where your work has been.",
        unmet="Your work goes from {before} to {after} humidity, a big step to take at once.",
        remedy="We leave it in its wrapping in the new room for two days before it is unwrapped and hung.",
        better=_BETTER,
        bench="Change of humidity: from {before} to {after}, {value}; at most {limit} at once.",
    ),
)
def settles_in(limits: ClimateLimits, before: float = fact("from_rh_percent"), after: float = fact("wall.rh_percent")) -> Check:
    """Is the venue's air close enough to where the work has been?

    The difference of relative humidity between the two places, which passes up to the limit.
    """
    return at_most(abs(after - before), limits.step_rh, unit="%", before=(before, "%"), after=(after, "%"))


def _per_metre(limits: ClimateLimits, material: Support, before: float, after: float) -> tuple[float, float]:
    """Return the movement of a metre of material, negative when it shrinks, and its limit [mm/m]."""
    if material in _STILL:
        return 0.0, limits.sheet_mm_per_m
    change = {"paper": limits.paper_change, "cardboard": limits.paper_change, "mdf": limits.board_change, "plywood": limits.plywood_change}
    if material in change:
        return sheet_movement(1000.0, change[material], before, after), limits.sheet_mm_per_m
    return panel_movement(1000.0, limits.wood_change_per_percent, limits.air_temp_c, before, after), limits.wood_mm_per_m


@rule(
    "keeps-its-size",
    effect=Effect.ADVISE,
    step=Step.FIT,
    source=OWN_POLICY,
    due=Stage.HANGING,
    applies=[where("kind", *sorted(SHEETS), "panel", "relief", "sculpture")],
    uses=["wood_mm_per_m", "sheet_mm_per_m", "wood_change_per_percent", "paper_change", "board_change", "plywood_change", "air_temp_c"],
    words=Words(
        measure="Movement per metre",
        met="Your work should hardly swell or shrink in the venue's air.",
        unmet="In the venue's air your work may {way} by up to {size}, enough to warp, cockle or crack where it is held fast.",
        remedy="{todo}",
        better=_BETTER,
        bench="Movement from {before} to {after} humidity, taken as {material}: {note}, at most {limit} allowed.",
    ),
)
def keeps_its_size(
    limits: ClimateLimits,
    before: float = fact("from_rh_percent"),
    after: float = fact("wall.rh_percent"),
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    kind: Kind = fact("kind"),
    support: Support | None = fact("climate.support", optional=True),
) -> Check | Undecided:
    """Will it keep its size when it moves from one climate to the other?

    Solid wood moves across its grain with the moisture that it holds in balance with the air (two-hydrate sorption, as the Wood Handbook
    tabulates it); paper, card and boards move in proportion to the humidity. Per metre it passes up to the limit; the sentence gives the
    larger side. Any other support is taken for wood, which moves most. What a panel is made of is asked for only where it decides.
    """
    material: Support = "paper" if kind in SHEETS else support or "solid-wood"
    moved, limit = _per_metre(limits, material, before, after)
    if abs(moved) > limit and support is None and kind not in SHEETS:
        return Undecided(("climate.support",))
    todo = _ROOM_FOR_SHEETS if kind in SHEETS else _ROOM_FOR_SCULPTURE if kind == "sculpture" else _ROOM_FOR_PANELS
    size = abs(moved) * max(width, height) / 1000.0
    note = f"{show(abs(moved), 'mm/m')}, {show(size, 'mm')} on the larger side"
    return at_most(
        abs(moved), limit, unit="mm/m", way="shrink" if moved < 0 else "swell", note=note, size=(size, "mm"), todo=todo,
        before=(before, "%"), after=(after, "%"), material=_SAID.get(material, material),
    )  # fmt: skip


MOVEMENT_RULES = (settles_in, keeps_its_size)
