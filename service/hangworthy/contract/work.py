"""The work: what a registrar would record, shared by every pack."""

from datetime import date
from decimal import Decimal
from typing import Literal

from hangworthy.contract.facts import Section, ask
from hangworthy.contract.steps import Tool

Kind = Literal[
    "stretched-canvas",
    "panel",
    "work-on-paper",
    "original-print",
    "photograph",
    "reproduction",
    "textile",
    "relief",
    "sculpture",
    "other",
]
GlazingMaterial = Literal["none", "float-glass", "toughened-glass", "laminated-glass", "acrylic", "polycarbonate"]
Technique = Literal[
    "acrylic",
    "oil",
    "thick-oil",
    "tempera",
    "watercolour",
    "gouache",
    "ink",
    "felt-pen",
    "graphite",
    "coloured-pencil",
    "pastel",
    "charcoal",
    "mixed",
    "other",
]
Process = Literal[
    "woodcut",
    "linocut",
    "wood-engraving",
    "engraving",
    "etching",
    "lithograph",
    "screenprint",
    "monotype",
    "offset",
    "inkjet",
    "laser-print",
    "gelatin-silver",
    "chromogenic",
    "dye-transfer",
    "albumen",
    "platinum",
    "cyanotype",
    "instant-photograph",
    "other",
]
_TAPE = "Measure with a steel tape, to the millimetre, in two places; give the larger figure."
_RULER: tuple[Tool, ...] = ("steel-tape",)


class WorkFacts(Section):
    """The work itself."""

    ref: str = ask(
        "Reference",
        "What is your own reference for this work?",
        "Any short code that you use; it comes back with the answer.",
        required=True,
        max_length=80,
        pattern=r"^\S(.*\S)?$(?!\n)",
    )
    title: str = ask("Title", "What is the title of the work?")
    artist_ref: str = ask("Artist's reference", "Which reference does the programme use for the artist?", max_length=80)
    artist_name: str = ask("Artist", "What name should the label carry?", private=True)
    kind: Kind = ask(
        "Kind of work",
        "What kind of work is it?",
        "Choose by what it is made on: canvas on a stretcher, a rigid panel, paper, a print from a matrix, a photograph.",
        reads="kind",
    )
    technique: Technique = ask("Technique", "What is it painted or drawn with?", "Choose the main material.", reads="technique")
    process: Process = ask(
        "Process",
        "By which process was it printed?",
        "For prints and photographs. A pigment or giclée print is inkjet; aquatint, drypoint and mezzotint count as etching.",
        reads="process",
        kinds=("original-print", "photograph", "reproduction"),
    )
    friable: bool = ask(
        "Powdery surface",
        "Does the surface shed powder?",
        "Hold dark paper below and tap the back: pastel, charcoal and chalk without fixative leave dust on it.",
        reads="friable",
    )
    medium: str = ask("Medium", "What is it made of, in your own words?", "For the label: “oil on linen”.", reads="medium")
    width_mm: float = ask("Width", "How wide is the work, unframed?", _TAPE, tools=_RULER, lo=10, hi=20_000, reads="width")
    height_mm: float = ask("Height", "How high is the work, unframed?", _TAPE, tools=_RULER, lo=10, hi=20_000, reads="height")
    depth_mm: float = ask("Depth", "How deep is the work, unframed?", _TAPE, tools=_RULER, lo=0, hi=5_000, reads="depth")
    mass_kg: float = ask(
        "Weight",
        "How much does it weigh as it will hang?",
        "Weigh yourself with it and without it on a bathroom scale; give the difference.",
        tools=("scale",),
        lo=0.01,
        hi=1_000,
        reads="weight",
    )
    framed: bool = ask(
        "Framed", "Is it in a frame?", "Say yes if a frame is around it now; the bars of a stretched canvas are no frame.", reads="framed"
    )
    finished_on: date = ask("Finished on", "On which day did you finish it?", "The day of the last paint or varnish.")
    from_rh_percent: float = ask(
        "Humidity where it comes from",
        "How humid is the place where it has been?",
        "Read a hygrometer on ordinary days, and give the mean: “45 ± 5” will do.",
        lo=1,
        hi=99,
    )
    wall_name: str = ask("Wall", "On which of the venue's walls will it hang?", asked_of="coordinator", max_length=80)
    hang_from: date = ask("Hangs from", "From which day will it hang?", asked_of="coordinator")
    hang_until: date = ask("Hangs until", "Until which day will it hang?", asked_of="coordinator")
    price: Decimal = ask("Price", "What does it cost?", "With the currency beside it.", lo=0, hi=1_000_000_000)
    currency: str = ask("Currency", "In which currency?", "Three letters of ISO 4217.", pattern=r"^[A-Z]{3}$(?!\n)", max_length=3)


class FrameFacts(Section):
    """The frame the work is in, if it has one."""

    width_mm: float = ask("Frame width", "How wide is the frame outside?", _TAPE, tools=_RULER, lo=10, hi=20_000, reads="frame_width")
    height_mm: float = ask("Frame height", "How high is the frame outside?", _TAPE, tools=_RULER, lo=10, hi=20_000, reads="frame_height")
    depth_mm: float = ask("Frame depth", "How deep is the frame outside?", _TAPE, tools=_RULER, lo=1, hi=1_000, reads="frame_depth")
    rebate_width_mm: float = ask("Rebate width", "How wide is the rebate that the work sits in?", _TAPE, tools=_RULER, lo=10, hi=20_000)
    rebate_height_mm: float = ask("Rebate height", "How high is the rebate?", _TAPE, tools=_RULER, lo=10, hi=20_000)
    rebate_depth_mm: float = ask("Rebate depth", "How deep is the rebate?", _TAPE, tools=_RULER, lo=1, hi=500)
    material: Literal["wood", "mdf", "aluminium", "plastic", "other"] = ask("Frame material", "What is the frame made of?")


class GlazingFacts(Section):
    """The pane in front of the work, if there is one."""

    material: GlazingMaterial = ask(
        "Glazing", "What is the pane made of?", "Acrylic feels warmer than glass and sounds dull when tapped.", reads="glazing"
    )
    thickness_mm: float = ask("Pane thickness", "How thick is the pane?", "Measure at its edge.", lo=0.5, hi=20)
    gap_mm: float = ask(
        "Air gap",
        "How much air is between the pane and the work?",
        "The thickness of the mat or spacer between them; 0 when they touch.",
        lo=0,
        hi=200,
    )


class FittingsFacts(Section):
    """What the work hangs by."""

    kind: Literal["none", "d-rings", "wire", "hanger-strip", "security-plates", "other"] = ask(
        "Fittings", "What is on the back to hang it by?", "Look at the back of the frame or stretcher."
    )
    drop_mm: float = ask(
        "Drop",
        "How far below the top edge does the hook sit?",
        "Pull the wire up as the hook would and measure to the top edge.",
        lo=0,
        hi=5_000,
    )


SHARED_SECTIONS: dict[str, type[Section]] = {"fittings": FittingsFacts, "frame": FrameFacts, "glazing": GlazingFacts}
