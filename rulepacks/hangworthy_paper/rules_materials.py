"""What touches the sheet: air before the pane, the mat's board, and what holds it."""

from hangworthy.contract import (
    CAUTION_GLASS,
    COMMON_PRACTICE,
    OWN_POLICY,
    Check,
    Effect,
    Process,
    Stage,
    Step,
    Undecided,
    Words,
    at_least,
    fact,
    holds,
    published,
    rule,
    where,
    within,
)

from .facts import Attachment, Mat
from .limits import PaperLimits
from .rules_frames import PAPER

FRAMED = (*PAPER, where("framed", True))
_PANE = where("glazing.material", "float-glass", "toughened-glass", "laminated-glass", "acrylic", "polycarbonate")
_BOARD = where("paper.mat", "cotton-rag", "purified-wood-pulp", "ordinary-board")
_TOUCHES = 0.1  # [mm], less than a thin sheet of paper: the work lies against the pane
_HINGES = published("Library of Congress (Smith 1992)", "hinges of Japanese paper with wheat-starch paste")
_SPACER = "Ask your framer for a deeper mat, or for spacers under the edge of the frame. Do not take broken glass out yourself."


@rule(
    "kept-off-glass",
    effect=Effect.PREPARE,
    step=Step.MEND,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(*FRAMED, _PANE),
    uses=["gap_mm"],
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Air between pane and work",
        met="{note}",
        unmet="There is {value} of air before your work; it needs {limit}, so that it cannot stick to the pane.",
        remedy=_SPACER,
        better="Measure the mat or spacer at its edge with a caliper.",
    ),
)
def kept_off_glass(
    limits: PaperLimits,
    gap: float = fact("glazing.gap_mm"),
    attached: tuple[Attachment, ...] | None = fact("paper.attached_by", optional=True),
) -> Check | Undecided:
    """Is there air between the pane and the work?

    The thickness of mat or spacer passes from the limit up, an eighth of an inch: damp makes paper and photographs stick to a pane that
    they touch. What is bonded to the pane on purpose passes; that is asked for only where nothing lies between.
    """
    if attached and "face-mount" in attached:
        return holds(True, note="It is bonded to its pane on purpose.")
    if gap < min(_TOUCHES, limits.gap_mm) and not attached:
        return Undecided(("paper.attached_by",))
    return at_least(gap, limits.gap_mm, unit="mm", note="There is enough air before your work.")


@rule(
    "powder-kept-off-glass",
    effect=Effect.PREPARE,
    step=Step.MEND,
    source=OWN_POLICY,
    due=Stage.ARRIVAL,
    applies=(where("kind", "work-on-paper"), where("framed", True), _PANE, where("friable", True)),
    uses=["powdery_gap_mm"],
    cautions=[CAUTION_GLASS],
    words=Words(
        measure="Air between pane and powdery surface",
        met="Your powdery surface has enough air before it.",
        unmet="A powdery surface needs {limit} of air before it; yours has {value}.",
        remedy=_SPACER,
        better="Measure the mat or spacer at its edge with a caliper.",
    ),
)
def powder_kept_off_glass(limits: PaperLimits, gap: float = fact("glazing.gap_mm")) -> Check:
    """Is there more air before a powdery surface?

    Pastel and charcoal rub off on a pane that sways, and a charged one draws the powder: twice the usual air is asked for.
    """
    return at_least(gap, limits.powdery_gap_mm, unit="mm")


@rule(
    "safe-materials",
    effect=Effect.PREPARE,
    step=Step.MEND,
    source=published("CCI Notes 11/5", "window mat board"),
    due=Stage.ARRIVAL,
    applies=(*FRAMED, _BOARD),
    uses=["buffered_ph_low", "unbuffered_ph_low", "ph_high"],
    words=Words(
        measure="pH of the mat",
        met="The mat is safe for paper.",
        unmet="The mat is not safe for paper: {found}.",
        remedy="Ask a framer for a new mat of acid-free board: cotton rag, or purified wood pulp, with a pH of 7 to 8.5.",
        better="Take the maker's figure, or draw two more lines with a fresh pH pen.",
        bench="Mat of {board}: {found}.",
    ),
)
def safe_materials(
    limits: PaperLimits,
    mat: Mat = fact("paper.mat"),
    ph: float | None = fact("paper.mat_ph", optional=True),
    buffered: bool = fact("paper.mat_buffered", try_each=True),
) -> Check | Undecided:
    """Is the mat free of acid?

    The pH of the board: buffered 7.5 to 8.5, unbuffered from 7. Ordinary board with no figure is acid by its make, and fails. Whether it is
    buffered is asked for only where that decides.
    """
    board = mat.replace("-", " ")
    if ph is None:
        if mat == "ordinary-board":
            return holds(False, found="ordinary board turns acid and browns the sheet", board=board)
        return Undecided(("paper.mat_ph",))
    low = limits.buffered_ph_low if buffered else limits.unbuffered_ph_low
    found = f"its pH of {ph:.3g} should lie between {low:.3g} and {limits.ph_high:.3g}"
    return within(ph, low, limits.ph_high, unit="", found=found, board=board)


@rule(
    "mat-suits-process",
    effect=[Effect.ADVISE, Effect.PREPARE],
    step=Step.MEND,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=(
        where("kind", "photograph", "original-print"),
        where("framed", True),
        _BOARD,
        where("process", "cyanotype", "dye-transfer", "albumen", "platinum"),
    ),
    words=Words(
        measure="Buffering of the mat",
        met="The mat suits {process} print.",
        unmet="{trouble}",
        remedy="Ask a framer for a new mat of unbuffered cotton rag board.",
        bench="Mat of {process} print: {buffered}.",
    ),
)
def mat_suits_process(process: Process = fact("process"), buffered: bool = fact("paper.mat_buffered")) -> Check:
    """Does the mat suit the photographic process?

    Buffered board is alkaline, which fades cyanotypes: those need unbuffered board. For dye transfer, albumen and platinum prints it is
    unclear, and unbuffered board is advised.
    """
    effect = Effect.PREPARE if process == "cyanotype" else Effect.ADVISE
    named = f"{'an' if process == 'albumen' else 'a'} {process.replace('-', ' ')}"
    trouble = f"It is not known whether a buffered mat, such as yours, is safe for {named} print."
    if process == "cyanotype":
        trouble = "A buffered mat, such as yours, fades a cyanotype."
    return holds(not buffered, effect=effect, process=named, trouble=trouble, buffered="buffered" if buffered else "unbuffered")


_UNSAFE = {"pressure-tape": "pressure-sensitive tape", "glue": "glue", "dry-mount": "dry mounting"}

_HANG = "Ask a framer to hang it from hinges of Japanese paper with wheat-starch paste"


@rule(
    "safe-hinges",
    effect=Effect.PREPARE,
    step=Step.MEND,
    source=_HINGES,
    due=Stage.ARRIVAL,
    applies=FRAMED,
    words=Words(
        measure="What holds the sheet",
        met="{told}",
        unmet="{told}",
        remedy="{todo}",
        bench="Held by: {held}.",
    ),
)
def safe_hinges(
    attached: tuple[Attachment, ...] = fact("paper.attached_by"), mat: Mat | None = fact("paper.mat", optional=True)
) -> Check | Undecided:
    """Is the sheet held by hinges that can be undone, without tape, glue or dry mounting?

    Declared. Pressure-sensitive tape, glue and dry mounting fail, and so does a sheet that nothing holds behind a mat, where it slips; one
    without a mat fills its frame, and the backing holds it. An empty list says nothing and is asked for again, as are none and some.
    """
    if not attached or ("none" in attached and len(set(attached)) > 1):
        return Undecided(("paper.attached_by",))
    held = ", ".join(one.replace("-", " ") for one in attached)
    if "none" in attached:
        if mat is None:
            return Undecided(("paper.mat",))
        told = (
            "The sheet fills its frame, and the backing holds it."
            if mat == "none"
            else "Nothing holds the sheet, so it can slip behind its mat."
        )
        return holds(mat == "none", told=told, todo=f"{_HANG}, or hold it in corner pockets.", held="nothing")
    found = " and ".join(_UNSAFE[one] for one in attached if one in _UNSAFE)
    told = f"The sheet is held by {found}, which stains or tears paper and is hard to undo." if found else "The sheet is held safely."
    return holds(not found, told=told, todo=f"{_HANG}. Do not pull anything off yourself.", held=held)


MATERIAL_RULES = (kept_off_glass, powder_kept_off_glass, safe_materials, mat_suits_process, safe_hinges)
