"""The numbers of an edition: what a copy carries, and whether edition, proofs and total add up."""

from hangworthy.contract import (
    COMMON_PRACTICE,
    Check,
    Effect,
    Process,
    Stage,
    Step,
    Undecided,
    Words,
    at_most,
    fact,
    given,
    holds,
    rule,
    where,
)

from .facts import ProofKind, Signature
from .formulas import proofs_allowed, total_in_circulation
from .limits import MONOTYPE_TEXT, EditionLimits

_PRINTS = (where("kind", "original-print", "photograph"),)


@rule(
    "numbered",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=_PRINTS,
    words=Words(
        measure="Edition and number",
        met="{note}",
        unmet="Of an edition of {edition}, this copy carries no number.",
        remedy="Write its number and the edition in pencil below the image, such as 3/{edition}, or tell us which proof it is.",
    ),
)
def numbered(
    edition: int = fact("editions.edition_size"),
    number: int | None = fact("editions.number", optional=True),
    proof: ProofKind | None = fact("editions.proof_kind", optional=True),
) -> Check | Undecided:
    """Does it carry its number?

    An open edition and a unique print carry none; a copy of a limited edition carries its number, or the letters of a proof.
    """
    if edition <= 1:
        return holds(True, note="It is unique and needs no number." if edition else "The edition is open, so no number is needed.")
    if number is None and proof is None:
        return Undecided(("editions.number",))
    told = bool(number) or proof not in (None, "unnumbered")
    return holds(told, note="It carries its number." if number else "It is marked as a proof.", edition=edition)


@rule(
    "signed",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=_PRINTS,
    words=Words(
        measure="Signature by hand",
        met="It is signed by hand.",
        unmet="It is not signed by hand: {found}.",
        remedy="Sign it in pencil below the image or on the back, or bring a signed certificate.",
    ),
)
def signed(signature: Signature = fact("editions.signature")) -> Check:
    """Is it signed by hand?

    Looked at on the bench. A signature that prints along with the image, or a stamp, is none of this copy.
    """
    found = {"in-plate": "the signature prints along with the image", "stamped": "the signature is a stamp"}
    return holds(signature == "by-hand", found=found.get(signature, "there is no signature"))


@rule(
    "number-in-edition",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.number")],
    words=Words(
        measure="Number in the edition",
        met="Its number lies within the edition.",
        unmet="{said}",
        remedy="Look at the margin again and correct the number or the edition; both must match the certificate.",
    ),
)
def number_in_edition(edition: int = fact("editions.edition_size"), number: int = fact("editions.number")) -> Check:
    """Does its number lie within the edition?

    A number is at most the edition. Nought means a proof, or no number. An open edition has no numbers to lie within.
    """
    said = f"Number {number} is more than the edition of {edition}."
    if edition == 0:
        said = f"It carries number {number}, but the edition is given as open."
    return at_most(float(number), float(edition), unit="", said=said)


@rule(
    "proof-in-run",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.proof_kind", "editions.proof_number")],
    words=Words(
        measure="Number of the proof",
        met="The proof's number is in order.",
        unmet="Proof number {value} is more than the {limit} proofs of its kind.",
        remedy="Look at the margin again and correct the proof's number or how many proofs there are.",
    ),
)
def proof_in_run(
    kind: ProofKind = fact("editions.proof_kind"),
    number: int = fact("editions.proof_number"),
    artist: int | None = fact("editions.artist_proofs", optional=True),
    printer: int | None = fact("editions.printer_proofs", optional=True),
    hors: int | None = fact("editions.hors_commerce", optional=True),
) -> Check | Undecided:
    """Does the proof's number lie within the proofs of its kind?

    A proof's number is at most the count of its own kind, which is asked for. A copy without a number has nothing to keep.
    """
    kinds = {
        "artist-proof": ("editions.artist_proofs", artist),
        "printer-proof": ("editions.printer_proofs", printer),
        "hors-commerce": ("editions.hors_commerce", hors),
    }
    path, count = kinds.get(kind, ("", number))
    return Undecided((path,)) if count is None else at_most(float(number), float(count), unit="")


@rule(
    "monotype-is-one",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=MONOTYPE_TEXT,
    applies=[given("kind", "process"), where("kind", "original-print"), where("process", "monotype")],
    uses=["monotype"],
    words=Words(
        measure="Copies of a monotype",
        met="A monotype is unique, as yours is.",
        unmet="{said}",
        remedy="Write 1 as its edition, or choose the process that made several alike.",
    ),
)
def monotype_is_one(limits: EditionLimits, process: Process = fact("process"), edition: int = fact("editions.edition_size")) -> Check:
    """Is a monotype one of one?

    One impression is pulled from a plate without a fixed image, so its edition is 1, neither more nor open.
    """
    said = "A monotype is one of a kind, but an open edition is given." if edition == 0 else (
        f"A monotype is one of a kind, but an edition of {edition} is given."
    )  # fmt: skip
    if edition == 0:
        return holds(False, said=said)
    return at_most(float(edition), limits.monotype, unit="", said=said)


@rule(
    "proofs-in-proportion",
    effect=Effect.ADVISE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    due=Stage.ARRIVAL,
    applies=_PRINTS,
    uses=["proof_share_percent"],
    words=Words(
        measure="Artist's proofs",
        met="The number of artist's proofs is customary.",
        unmet="There are {value} artist's proofs, and {limit} is the most that is customary for an edition of {edition}.",
        remedy="Check the count. If it is right, state the proofs on the certificate: unusual is not wrong.",
    ),
)
def proofs_in_proportion(
    limits: EditionLimits, edition: int = fact("editions.edition_size"), proofs: int = fact("editions.artist_proofs")
) -> Check:
    """Are the artist's proofs in proportion to the edition?

    Up to a tenth of the numbered run is customary, and one proof always. An open edition has no share to keep.
    """
    if edition == 0:
        return holds(True)
    return at_most(float(proofs), float(proofs_allowed(edition, limits.proof_share_percent)), unit="", edition=edition)


@rule(
    "total-adds-up",
    effect=Effect.PREPARE,
    step=Step.PAPERS,
    source=COMMON_PRACTICE,
    applies=[given("editions.total_stated", "editions.edition_size")],
    words=Words(
        measure="Stated total less edition and proofs",
        met="Edition and proofs add up to the stated total.",
        unmet="The certificate states {stated} copies; edition and proofs make {count}.",
        remedy="Count again, and write edition, each kind of proof and their total on the certificate.",
        bench="Stated total {stated}; edition {edition} and proofs make {count}.",
    ),
)
def total_adds_up(
    stated: int = fact("editions.total_stated"),
    edition: int = fact("editions.edition_size"),
    artist: int | None = fact("editions.artist_proofs", optional=True),
    printer: int | None = fact("editions.printer_proofs", optional=True),
    hors: int | None = fact("editions.hors_commerce", optional=True),
) -> Check | Undecided:
    """Do edition and proofs add up to the stated total?

    All in circulation is the numbered run and the artist's proofs, printer's proofs and copies not for sale, which stand outside of it.
    A total that is already exceeded is wrong, whatever is still to be counted.
    """
    count = total_in_circulation(edition, artist or 0, printer or 0, hors or 0)
    counts = {"editions.artist_proofs": artist, "editions.printer_proofs": printer, "editions.hors_commerce": hors}
    missing = tuple(path for path, value in counts.items() if value is None)
    if missing and count <= stated:
        return Undecided(missing)
    return Check(
        count == stated, float(count), float(stated), float(stated), "", None, {"stated": stated, "edition": edition, "count": count}
    )


NUMBER_RULES = (numbered, signed, number_in_edition, proof_in_run, monotype_is_one, proofs_in_proportion, total_adds_up)
