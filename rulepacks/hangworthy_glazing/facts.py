"""What only this pack asks of a pane, and of the wall in front of which people see it."""

from typing import Literal

from hangworthy.contract import Pair, Section, ask

PaneDamage = Literal["none", "broken", "cracked", "chipped", "taped"]


class MoreGlazingFacts(Section):
    """The pane: its faces, its faults, what is on it, and the room that it has."""

    outside_clean: bool = ask(
        "Outside of the pane",
        "Is the pane clean on the outside?",
        "Look along it from the side, against a window: dust and fingers show only then.",
    )
    inside_clean: bool = ask(
        "Inside of the pane",
        "Is the pane clean on the inside?",
        "Shine a torch along it from the side. What a cloth does not take off is inside: dust, fibres, mist.",
    )
    damage: tuple[PaneDamage, ...] = ask(
        "Damage to the pane",
        "Is the pane broken, cracked, chipped or taped across?",
        "Look, also at the corners; do not run a bare finger along an edge. Choose none when it is whole.",
    )
    film: bool = ask(
        "Safety film",
        "Does a safety film cover the whole pane?",
        "A clear film stuck to the glass: look for its edge near the frame, or ask the framer.",
    )
    safety_class: str = ask(
        "Safety class of the glass",
        "Which class is stamped on the glass, if any?",
        "A stamp in a corner, or the framer's invoice: “1(B)1”, “2(B)2”, “1(C)3”.",
        max_length=12,
        pattern=r"^[123] ?\( ?[ABCabc] ?\) ?[0123]$(?!\n)",
    )
    lifts_tissue: bool = ask(
        "Static of the pane",
        "Rubbed with a dry cloth, does the pane lift a scrap of tissue?",
        "Try it on the outside. Plain plastic lifts it; glass and antistatic plastic do not.",
    )
    anti_reflective: bool = ask(
        "Anti-reflective pane",
        "Is the pane coated against reflections?",
        "Hold a white lamp before it: a coated pane shows it faint and tinted green or purple, a plain one bright and white.",
    )
    play_mm: Pair = ask(
        "Play of the pane",
        "How far can the pane slide in its rebate, across and up?",
        "From the back, push it to one side and gauge the gap at the other; then push it down and gauge above it.",
        lo=0,
        hi=100,
        asked_of="coordinator",
    )
    pane_width_mm: float = ask(
        "Pane width", "How wide is the pane itself?", "Measure it out of its frame.", lo=10, hi=20_000, asked_of="coordinator"
    )
    pane_height_mm: float = ask(
        "Pane height", "How high is the pane itself?", "Measure it out of its frame.", lo=10, hi=20_000, asked_of="coordinator"
    )


class MoreWallFacts(Section):
    """What a wall shows in a pane."""

    mirror_shows_light: bool = ask(
        "Mirror test",
        "Would a mirror on this wall show people a window or a lamp?",
        "Hold a mirror flat on the wall at eye height and walk along where people stand.",
        asked_of="coordinator",
    )
