"""What only this pack asks of a work."""

from typing import Literal

from hangworthy.contract import Four, Pair, Section, ask

SheetFault = Literal["none", "powdery", "brittle", "rigid", "torn", "thick-paint"]
Mat = Literal["none", "cotton-rag", "purified-wood-pulp", "ordinary-board"]
Attachment = Literal[
    "none",
    "paper-hinges",
    "corner-pockets",
    "edge-strips",
    "pressure-tape",
    "glue",
    "dry-mount",
    "face-mount",
]
_ROUND = "Give four figures in this order: top, right, bottom, left."
_OPENED = "Ask your framer, or look when the frame is open."


class PaperFacts(Section):
    """A work on paper: its sheet, how it travels, and how it is matted."""

    crop_consent_mm: Four = ask(
        "Crop you agree to",
        "How much may be cut off or covered on each side, so that it fits one of our frames?",
        f"{_ROUND} Leave signature, number, plate mark and deckle alone; 0 where nothing may go.",
        lo=0,
        hi=5_000,
    )
    tube_diameter_mm: float = ask(
        "Tube",
        "If it comes rolled, how wide is the tube? Answer 0 if it comes flat.",
        "Measure across the core that it is rolled on, or across the inside of the tube that it is slid into.",
        lo=0,
        hi=1_000,
    )
    sheet_faults: tuple[SheetFault, ...] = ask(
        "Risks in rolling",
        "Is the sheet powdery, brittle, rigid, torn, or thick with paint?",
        "Bend a corner of the margin slightly; look along the edges; see whether the surface leaves dust. Choose none if all is well.",
        tools=("torch",),
    )
    free_margin_mm: Four = ask(
        "Free margins",
        "How far is it from each edge to the first thing that must stay in view?",
        f"{_ROUND} Measure to signature, number, plate mark or image, whichever comes first; 0 where the edge must show.",
        tools=("steel-rule",),
        lo=0,
        hi=20_000,
    )
    image_mm: Pair = ask(
        "Image",
        "How wide and how high is the image on the sheet?",
        "Width first. Measure the printed or painted area, plate mark included.",
        tools=("steel-rule",),
        lo=1,
        hi=20_000,
        reads="image_size",
    )
    thickness_mm: float = ask(
        "Thickness of the sheet",
        "How thick is the sheet?",
        "Measure a stack of ten sheets of the same paper and divide by ten; paper of 300 grams per square metre has about 0.4 to 0.6 mm.",
        lo=0.02,
        hi=20,
    )
    tube_length_mm: float = ask("Length of the tube", "How long is the tube inside?", "From end cap to end cap.", lo=10, hi=10_000)
    attached_by: tuple[Attachment, ...] = ask(
        "Attachment",
        "What holds the sheet to its mat or backing?",
        f"Hinges of thin paper, corner pockets, tape, glue? {_OPENED}",
    )
    mat: Mat = ask("Mat", "What is the mat made of?", f"The card with the window in front of the sheet. {_OPENED}")
    mat_ph: float = ask(
        "Acidity of the mat", "What is the pH of the mat board?", "The maker states it; else draw a line with a pH pen.", lo=1, hi=14
    )
    mat_buffered: bool = ask(
        "Buffered mat", "Is the mat board buffered?", "The maker states it: buffered, or with an alkaline reserve of calcium carbonate."
    )
    window_mm: Pair = ask(
        "Window of the mat", "How wide and how high is the window of the mat?", "Width first.", lo=1, hi=20_000, reads="window_size"
    )
    mat_borders_mm: Four = ask("Borders of the mat", "How wide is the mat on each side of its window?", _ROUND, lo=0, hi=5_000)
    contents_mm: Pair = ask(
        "Contents of the frame",
        "How wide and how high is what lies in the frame: mat, pane or backing?",
        "Width first. Measure the largest of them with the frame open.",
        lo=10,
        hi=20_000,
    )
    backing_mm: float = ask("Backing", "How thick is the backing board?", "Measure at its edge.", lo=0, hi=50)
