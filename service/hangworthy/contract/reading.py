"""What was written in free text, and what was read out of it: part of the request and of the answer.

Places are counted in characters (Unicode code points) of the text as it was written, the end not included.
"""

from typing import Annotated, Any, Literal, get_args

import msgspec
from msgspec import Meta

Source = Literal["dimensions", "medium", "edition"]
Convention = Literal["height-first", "width-first"]
Family = Literal["stretched-painting", "work-on-paper", "original-print", "photograph", "reproduction", "sculpture", "other"]

CONVENTIONS: tuple[str, ...] = get_args(Convention)
MOST_CHARACTERS = 500
Text = Annotated[str, Meta(min_length=1, max_length=MOST_CHARACTERS)]


class AsWritten(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """What somebody wrote about one work, each text as it stands on a label or in a list; ``convention`` where the order is agreed."""

    dimensions: Annotated[Text | None, Meta(description="“24 x 36 in”, “H 60 × W 91,4 cm (unframed)”.")] = None
    medium: Annotated[Text | None, Meta(description="“Oil on linen”, “Screenprint on paper, ed. 12/50”.")] = None
    edition: Annotated[Text | None, Meta(description="“12/50”, “A.P. 2/5”, “open edition”.")] = None
    convention: Annotated[Convention | None, Meta(description="Which number these texts write first; without it, it is asked for.")] = None


class Size(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """One size in a line of dimensions, in millimetres.

    ``of`` says what was measured: sheet, support, object, work (nothing is said), image, plate, frame, mount, window, overall, displayed,
    part, or other. ``numbers`` are in the order of the text; ``height_mm`` and ``width_mm`` are there once it is known which is which, by
    the rule ``order``. ``rough``: “about”, “variable” or a range stands beside it. ``each``: one of several.
    """

    of: str
    text: str
    span: tuple[int, int]
    numbers: tuple[float, ...] = ()
    height_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    diameter_mm: float | None = None
    order: str = ""
    reason: str = ""
    unit: str = ""
    each: bool = False
    rough: bool = False
    confidence: float = 0.0


class KindRead(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """What kind of work the medium tells: one of the seven families, the kind as facts name it (none: it is asked), and the rule."""

    rule: str
    reason: str
    confidence: float
    span: tuple[int, int]
    text: str
    family: Family | None = None
    kind: str | None = None


class EditionRead(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """What is said of an edition: number and size of the run (size 0: open, 1: unique), the kind of proof and its own number."""

    number: int | None = None
    size: int | None = None
    proof: str | None = None
    proof_number: int | None = None
    proofs: int | None = None


class ReadFact(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """One fact that was read: its pointer inside the work and its value in the fact's unit; the text, its place, and the rule that decided.

    ``confidence`` is the share of known lines on which the rule was right, or a stated figure where there is nothing to count.
    """

    fact: str
    value: Any
    source: Source
    span: tuple[int, int]
    text: str
    confidence: float
    rule: str
    reason: str
    unit: str = ""


class Asked(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """What the text leaves open: the facts that wait for it, the question to show, and answers to choose from where there are some.

    ``labels`` show ``choices`` that are values of the fact in the answer's language, in the same order; they are left out in English.
    """

    facts: tuple[str, ...]
    question: str
    rule: str
    source: Source
    span: tuple[int, int]
    text: str
    choices: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()


class Contradiction(msgspec.Struct, frozen=True, gc=False):
    """A fact that was given and reads otherwise in the text. What was given counts."""

    fact: str
    given: Any
    read: Any
    sentence: str


class Unread(msgspec.Struct, frozen=True, gc=False):
    """Words or numbers that nobody understood."""

    source: Source
    span: tuple[int, int]
    text: str


class TextRead(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """What was read out of a work's texts.

    ``facts`` are sure enough to be used; what is not is among ``asks``, never guessed. ``sizes`` lists every size of the line in its order,
    also those that are no fact. In an evaluation ``used`` lists the facts taken from the text because they were not given.
    """

    facts: tuple[ReadFact, ...]
    asks: tuple[Asked, ...]
    sizes: tuple[Size, ...] = ()
    kind: KindRead | None = None
    edition: EditionRead | None = None
    unread: tuple[Unread, ...] = ()
    used: tuple[str, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
