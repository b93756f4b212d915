"""What only this pack asks of a work and of a wall."""

from typing import Literal

from hangworthy.contract import Means, Section, ask

RingKind = Literal["d-rings", "screw-eyes", "strap-hangers", "security-plates", "sawtooth"]
Backing = Literal["none", "card", "foam-board", "hardboard", "mdf", "plywood"]
Fixing = Literal["nail", "screw", "screw-in-stud", "screw-in-plug", "hollow-wall-anchor", "toggle", "rail-hook", "adhesive"]
RatingIs = Literal["working-load", "breaking-load"]
Grip = Literal["good", "fair", "poor"]
Zone = Literal["above-shoulder", "elbow-to-shoulder", "knuckle-to-elbow", "shin-to-knuckle", "below-shin"]
_PACKET = "Read the packet or the maker's page; leave it out when you cannot find it."


class HangingFacts(Section):
    """How it hangs: rings, wire, hooks, the fixing in the wall, and who lifts it."""

    moulding_width_mm: float = ask("Moulding width", "How wide are the bars of the frame, seen from the front?", lo=3, hi=400)
    backing: Backing = ask("Backing", "What closes the back of the frame?", "Choose none when the back is open.")
    matted: bool = ask("Mat", "Is there a mat (passe-partout) round the work?")
    ring_kind: RingKind = ask("Kind of rings", "What are the rings at the back?", "A screw eye is a wire loop on a single screw.")
    ring_spacing_mm: float = ask(
        "Distance between the rings", "How far apart are the two rings?", "From ring to ring, along the back.", lo=10, hi=20_000
    )
    ring_drop_mm: float = ask(
        "Rings below the top", "How far below the top edge do the rings sit?", "From the top edge down to the rings.", lo=0, hi=10_000
    )
    wire_length_mm: float = ask(
        "Wire length", "How long is the wire from ring to ring?", "Pull it tight along a tape, knots left out.", lo=10, hi=40_000
    )
    ring_rating_kg: float = ask("Rating of one ring", "Which weight does its maker allow for one ring?", _PACKET, lo=0.1, hi=1_000)
    wire_rating_kg: float = ask("Rating of the wire", "Which weight does its maker allow for the wire?", _PACKET, lo=0.1, hi=1_000)
    spacer_mm: float = ask(
        "Thickness of the spacers",
        "How thick are the spacers at the lower corners?",
        "Felt or rubber dots at the back; 0 for none.",
        lo=0,
        hi=200,
    )
    points: int = ask("Number of hooks", "How many hooks will it hang on?", lo=1, hi=6, asked_of="coordinator", means=Means.HOOKS)
    hook_spacing_mm: float = ask(
        "Distance between the hooks",
        "How far apart are the outermost hooks?",
        "Rings that sit on hooks: the distance between the rings.",
        lo=0,
        hi=20_000,
        asked_of="coordinator",
        means=Means.HOOK_SPACING,
    )
    hook_rating_kg: float = ask(
        "Rating of one hook", "Which weight is one hook rated for?", _PACKET, lo=0.1, hi=1_000, asked_of="coordinator"
    )
    fixing: Fixing = ask("Fixing in the wall", "What holds each hook in the wall?", asked_of="coordinator")
    fixing_rating_kg: float = ask(
        "Rating of one fixing",
        "Which weight does its maker allow for one fixing in this wall?",
        "For this wall and this depth, from the maker's own table.",
        lo=0.1,
        hi=2_000,
        asked_of="coordinator",
    )
    fixing_rating_is: RatingIs = ask(
        "What the rating means",
        "Is the fixing's rating a working load, or the load at which it breaks?",
        "“Ultimate” and “failure” mean the breaking load.",
        asked_of="coordinator",
    )
    position: int = ask("Place in the row", "Which place has it in the row, counted from the left?", lo=1, hi=500, asked_of="coordinator")
    lift_reach_mm: float = ask(
        "Reach of the lift",
        "How far in front of the ankles are the hands?",
        "While holding the work.",
        lo=0,
        hi=2_000,
        asked_of="coordinator",
    )
    lift_from_mm: float = ask(
        "Start of the lift", "How high are the hands when the lift begins?", "Above the floor.", lo=0, hi=3_000, asked_of="coordinator"
    )
    lift_twist_deg: float = ask("Twist", "How far does the body twist during the lift?", lo=0, hi=180, asked_of="coordinator")
    grip: Grip = ask("Grip", "How well do the hands hold it?", "Handles are good, fingers bent under it fair.", asked_of="coordinator")
    lift_zones: tuple[Zone, ...] = ask(
        "Zones of the lift", "Through which zones do the hands pass?", "From the start to the hook.", asked_of="coordinator"
    )
    lift_close: bool = ask("Held close", "Is it held close to the body all the way?", asked_of="coordinator")
    lift_men: bool = ask(
        "Lifters", "Is the lift planned for men only?", "Without an answer the lower figures count.", asked_of="coordinator"
    )
    carry_m: float = ask(
        "Carrying distance", "How far is it carried by hand?", "From the van to the wall.", lo=0, hi=5_000, asked_of="coordinator"
    )


class HangingWallFacts(Section):
    """What a row of works needs to know of its wall, and what fire codes ask about it."""

    row_gap_mm: float = ask(
        "Gap in a row",
        "How much wall should show between two works?",
        "Leave it out to spread the works evenly over the wall.",
        lo=0,
        hi=10_000,
        asked_of="coordinator",
        means=Means.ROW_GAP,
    )
    sprinklered: bool = ask("Sprinklers", "Is the room protected by sprinklers?", asked_of="coordinator")
    sleepers: int = ask(
        "Patients in the room", "How many patients does the room sleep?", "0 where nobody sleeps.", lo=0, hi=1_000, asked_of="coordinator"
    )
