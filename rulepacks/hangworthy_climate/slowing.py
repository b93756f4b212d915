"""What slows the changes of a room's air down for a work: words that several rules advise it with."""

from hangworthy.contract import Kind

STEADIER = "{slower} Or ask us for a room with steadier air."


def slower_for(kind: Kind | None, framed: bool | None) -> str:
    """Return what would slow every change of the air down for a work."""
    if framed:
        return "Close the back of the frame with a board and tape: it slows every change down."
    if kind == "stretched-canvas":
        return "Fix a board to the back of the stretcher: it slows every change down."
    if kind == "sculpture":
        return "A closed display case slows every change down."
    return "A frame with a closed back slows every change down."
