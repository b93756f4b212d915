"""What only this pack asks of a work: at the offer one list, details only where they matter; the rest at the bench."""

from typing import Literal

from hangworthy.contract import Section, Stage, ask

Fault = Literal[
    "dusty",
    "flaking",
    "cracked",
    "torn",
    "hole",
    "dented",
    "scratched",
    "stained",
    "damp",
    "mould",
    "live-insects",
    "insect-holes",
    "broken-glass",
    "loose-frame",
    "sticky",
    "smells",
    "sharp-hardware",
    "none",
]
Faults = tuple[Fault, ...]
Smell = Literal["smoke", "solvent", "musty", "other"]
DustPlace = Literal["front", "back", "edges", "none"]
Touch = Literal["dry", "sticky", "wet"]

_BENCH_TAPE = "Class II steel tape, from its end hook, in two places; the larger figure. The frame's outside if it is framed."


class ConditionFacts(Section):
    """The condition of a work: as declared at the offer, and as found at the bench."""

    faults: Faults = ask(
        "Faults, if any",
        "Which of these do you see on the front, the back and the edges?",
        "By a window, hold a torch flat along the front, then look at the back and edges. Choose all that you see, or none.",
    )
    cracks_lift: bool = ask(
        "Lifting cracks",
        "Do the edges of the cracks stand up, or are flakes missing?",
        "Look along the surface with a torch held flat; do not touch it.",
    )
    tear_mm: float = ask(
        "Length of the tear", "How long is the longest tear?", "Hold a ruler beside it, without touching it.", lo=0, hi=20_000
    )
    mould_area_m2: float = ask(
        "Size of the mould",
        "How large is all the mould you can see, on the work and around it?",
        "Do not touch it. Length times width of each patch, added up: “20 cm2” will do.",
        lo=0,
        hi=1_000,
    )
    fresh_dust: bool = ask(
        "Fresh dust from holes",
        "Does pale fresh dust fall from the insect holes?",
        "Stand it on dark paper for a week and look for little heaps below the holes.",
    )
    smell: Smell = ask("Smell", "What does it smell of?", "Musty means like a damp cellar; solvent means like wet paint or varnish.")
    kept_apart: bool = ask(
        "Kept apart",
        "Was it unpacked and examined away from the other works?",
        "On a table of its own, front, back and edges, before it joins the others.",
        asked_of="coordinator",
    )
    found_faults: Faults = ask(
        "Faults found",
        "Which of these are there on the bench?",
        "In raking light, front, back and edges. Choose all there are, or none.",
        asked_of="coordinator",
        due=Stage.ARRIVAL,
    )
    dust_on: tuple[DustPlace, ...] = ask(
        "Where dust shows",
        "Where does dust or dirt show in raking light?",
        "Darken the room and hold a torch flat along the surface. Choose none when nothing shows.",
        asked_of="coordinator",
    )
    touch: Touch = ask(
        "Touch test",
        "Is the surface dry to the touch?",
        "Rest a clean dry fingertip, gloved, on the paint near an edge: dry, or it sticks, or it comes off. Leave powdery surfaces alone.",
        asked_of="coordinator",
    )
    found_width_mm: float = ask("Width found", "How wide is it on the bench?", _BENCH_TAPE, lo=10, hi=20_000, asked_of="coordinator")
    found_height_mm: float = ask("Height found", "How high is it on the bench?", _BENCH_TAPE, lo=10, hi=20_000, asked_of="coordinator")
    found_mass_kg: float = ask(
        "Weight found", "How much does it weigh on the bench?", "As it will hang, on a scale.", lo=0.01, hi=1_000, asked_of="coordinator"
    )
