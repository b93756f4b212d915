"""The frame: can it be the frame of this work?"""

from hangworthy.contract import OWN_POLICY, Check, Effect, Step, Words, at_least, fact, given, rule, show_apart, where

from .size import HANGS


@rule(
    "frame-round-work",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    tools=["steel-tape"],
    source=OWN_POLICY,
    applies=(*HANGS, where("framed", True), given("width_mm", "height_mm", "frame.width_mm", "frame.height_mm")),
    words=Words(
        measure="Frame beyond the work",
        met="The frame is at least as large as the work.",
        unmet="The frame ({frame_wide} × {frame_high}) is smaller than the work ({wide} × {high}); please check both.",
        remedy="{todo}",
        better="Measure the work and the outside of its frame once more with one steel tape.",
        bench="Frame: {frame_wide} wide and {frame_high} high outside; work: {wide} wide and {high} high.",
    ),
)
def frame_round_work(
    width: float = fact("width_mm"),
    height: float = fact("height_mm"),
    frame_width: float = fact("frame.width_mm"),
    frame_height: float = fact("frame.height_mm"),
) -> Check:
    """Is the frame at least as large as the work?

    A frame's outer size and the work's own are measured the same way up, and a frame goes round its work, with or without a mat: so by
    width and by height the frame passes from the work's own size up. One that would go round the turned work has its sides the wrong way
    round, or the work has.
    """
    beyond = min(frame_width - width, frame_height - height)
    turned = frame_width >= height and frame_height >= width
    todo = (
        "Check which way up each was measured: width is across and height is up, as the work hangs."
        if turned
        else "Measure the work, and the outside of its frame, each across and then up, and correct what was wrong."
    )
    (frame_wide, wide), (frame_high, high) = show_apart(frame_width, width, "mm"), show_apart(frame_height, height, "mm")
    return at_least(beyond, 0.0, unit="mm", todo=todo, frame_wide=frame_wide, frame_high=frame_high, wide=wide, high=high)


FRAME_RULES = (frame_round_work,)
