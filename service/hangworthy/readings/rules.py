"""The rules that decide a reading: what each says to a person, and how sure one may be of it.

How a confidence is set. Where a rule could be tried on lines whose answer is known (the odd lines of the museum's list; the odd ones of the
labelled media), it is the rule of succession, (right + 1) / (tried + 2): the share that was right, and modest where little was tried. A
test counts again. Where the text itself says it outright it is STATED. Where only the habit of the trade decides, with nothing to count,
it is HABIT: common practice, no source. A rule with 0 decides nothing: it asks.
"""

from typing import Final, NamedTuple

STATED: Final = 0.99
HABIT: Final = 0.9


class Rule(NamedTuple):
    """One rule: the sentence that explains it, and its ground: (right, tried) where it was counted, or one of the two figures."""

    reason: str
    ground: tuple[int, int] | float

    @property
    def confidence(self) -> float:
        """How sure one may be, from 0 to 1, to three places."""
        if isinstance(self.ground, float):
            return self.ground
        right, tried = self.ground
        return round((right + 1) / (tried + 2), 3)


_LABEL: Final = "The label before it says what was measured."

RULES: Final[dict[str, Rule]] = {
    # dimensions: which numbers
    "label-support": Rule(_LABEL, (1419, 1419)),
    "label-image": Rule(_LABEL, (383, 383)),
    "label-object": Rule(_LABEL, (54, 54)),
    "label-displayed": Rule(_LABEL, (10, 10)),
    "label-frame": Rule(_LABEL, (3, 3)),
    "label-unconfirmed": Rule("The label says that nobody has checked it; it is taken as the size of the work.", (38, 38)),
    "label-other": Rule(_LABEL, HABIT),
    "plain": Rule("Nothing else is said, so it is the work itself.", HABIT),
    "worded": Rule("A word beside it says what was measured.", STATED),
    "whole": Rule("Of several sizes, this one is of the whole.", HABIT),
    "likely-comma": Rule("Read with a thousands mark, as the other way would be no sensible size.", HABIT),
    "paper-named": Rule("A size of paper, called by its name in ISO 216.", STATED),
    "line-unit": Rule("The unit stands at another size of the same line.", HABIT),
    # dimensions: which is the height
    "order-stated": Rule("Words or letters beside the numbers say which is the height.", STATED),
    "order-named": Rule("The order is written beside the size.", STATED),
    "order-agreed": Rule("The order was agreed with whoever sent the line.", STATED),
    "order-shape": Rule("It is said to be upright or wide, and one number is larger.", STATED),
    "order-fits": Rule("Only this way round does the smaller size fit into the larger one.", STATED),
    "order-square": Rule("Both numbers are the same.", STATED),
    "order-catalogue": Rule("A label with a colon is a catalogue's way of writing, and catalogues write height first.", HABIT),
    "order-round": Rule("A round work is as wide and as high as it is across.", STATED),
    "third": Rule("The third number of a size is its depth.", HABIT),
    "weight": Rule("A number with a unit of weight.", HABIT),
    "frame-there": Rule("The size of its frame is given, so it has one.", HABIT),
    "framed-told": Rule("It says whether it is framed.", STATED),
    "glazing-told": Rule("It says what stands in front of it.", STATED),
    # dimensions: what is left open
    "order-open": Rule("Which number is the height? Nothing here says so.", 0.0),
    "way-open": Rule("Does it hang upright or wide? Nothing here says so.", 0.0),
    "unit-open": Rule("Which unit is it in: millimetres, centimetres or inches?", 0.0),
    "comma-open": Rule("The comma can be read in two ways. Please write the number without it.", 0.0),
    "sheet-open": Rule("Only the image was measured. How large is the whole sheet or support?", 0.0),
    "parts-open": Rule("Sizes of several parts are given. How large is the whole as it hangs?", 0.0),
    "rough-open": Rule("This is only roughly known. Please measure it to the millimetre.", 0.0),
    "range-open": Rule("This is a range. Please measure it and give one number.", 0.0),
    "half-open": Rule("Only one side is given. How large is the other?", 0.0),
    "one-open": Rule("Only one number is given. How wide and how high is the work?", 0.0),
    "sense-open": Rule("This is no likely size for a work. Please check the number and its unit.", 0.0),
    "what-open": Rule("It is not clear what was measured here. How large is the work itself, unframed?", 0.0),
    "weights-open": Rule("Several weights are given. What does it weigh as it will hang?", 0.0),
    "number-open": Rule("This number cannot be read. Please write it like 36 1/2 or 36.5.", 0.0),
    "depth-open": Rule("The third number is not the smallest. Which one is the depth?", 0.0),
    "frame-smaller": Rule("The frame would be smaller than the work. Which of these sizes is the frame's?", 0.0),
    "framed-open": Rule("One text says it is framed, the other says it is not. Is it in a frame?", 0.0),
    "glass-open": Rule("Which glass is it: plain, toughened or laminated?", 0.0),
    "pane-open": Rule("It has a pane. What is the pane made of?", 0.0),
    "glazing-open": Rule("Different panes are named. What is the pane made of?", 0.0),
    "frame-order-open": Rule("Which number is the height of the frame? Nothing here says so.", 0.0),
    "image-order-open": Rule("Which number is the height of the image? Nothing here says so.", 0.0),
    # medium: what kind of work
    "moving": Rule("Film, video, sound and the like are shown by a machine.", (9, 9)),
    "copied": Rule("It is called a reproduction, a poster or a facsimile.", STATED),
    "on-base": Rule("It stands on a base, so it is a sculpture.", (1, 1)),
    "woven": Rule("It is woven, stitched or quilted.", (1, 1)),
    "carved": Rule("It is called a sculpture or a relief.", STATED),
    "photo": Rule("It is called a photograph, or printed by a process of photography.", (17, 17)),
    "on-photo": Rule("It is made on a photograph.", (1, 1)),
    "printed": Rule("A process that prints from a plate, block, stone or screen is named.", (24, 24)),
    "on-sheet": Rule("It is drawn, painted or glued on paper or card.", (47, 47)),
    "on-canvas": Rule("It is painted on canvas, linen or the like, which is taken to be stretched.", (5, 5)),
    "on-panel": Rule("It is painted on a rigid panel.", (11, 11)),
    "as-written": Rule("The words as they stand.", STATED),
    "one-technique": Rule("It is the only material named for painting or drawing.", HABIT),
    "one-process": Rule("It is the only process named.", HABIT),
    # medium: what is left open
    "materials": Rule("Materials alone are named. Is it a relief that hangs flat, or does it stand or hang free?", 0.0),
    "things-on-sheet": Rule("Objects are fixed to paper. Which kind of work is it?", 0.0),
    "things-on-support": Rule("More than paint is on the support. Which kind of work is it?", 0.0),
    "photo-and-more": Rule("A photograph and something else are named. Which is it mainly?", 0.0),
    "print-unclear": Rule("Is it an original print, a photograph, or a reproduction of another work?", 0.0),
    "print-on-canvas": Rule("It is printed on canvas. Is it an original print, a painting, or a reproduction?", 0.0),
    "laid-down": Rule("Paper is laid on something else. Does it hang as a sheet, a stretched canvas or a panel?", 0.0),
    "board-unclear": Rule("Board can be stiff paper or a rigid panel. Which is it?", 0.0),
    "support-unclear": Rule("What it is made on does not tell the kind. Is it stretched, rigid or loose?", 0.0),
    "nothing-known": Rule("These words do not tell what it is made on. Which kind of work is it?", 0.0),
    "technique-open": Rule("Several materials are named. Which is the main one?", 0.0),
    "process-open": Rule("Several processes are named. Which is the main one?", 0.0),
    "powder-open": Rule("Pastel, charcoal or chalk may shed powder. Does its surface leave dust?", 0.0),
    # edition
    "number-of": Rule("Two numbers with a stroke or “of” between them: which one this is, and of how many.", STATED),
    "counted": Rule("A number beside “edition”, “copies” or the letters of a proof counts them.", STATED),
    "proof-letters": Rule("The letters or words say which kind of proof it is.", STATED),
    "proof-unnumbered": Rule("A proof carries no number of the edition.", STATED),
    "called-unique": Rule("It is called unique, so there is one.", STATED),
    "called-open": Rule("It is called open or unlimited, so there is no fixed number.", STATED),
    # edition: what is left open
    "edition-clash": Rule("These numbers contradict each other. Which number does this copy carry, and how many are there?", 0.0),
    "edition-open": Rule("This does not tell the edition. Which number does this copy carry, and how many are there?", 0.0),
    "edition-number": Rule("How many there are is told. Which number does this copy carry?", 0.0),
    "edition-part": Rule("Only a part of it is told. Which number does this copy carry, and how many are there?", 0.0),
    "nothing-read": Rule("No size can be read here. How wide and how high is the work?", 0.0),
    "matrix": Rule("It could be a plate or block for printing. Which kind of work is it?", 0.0),
}
