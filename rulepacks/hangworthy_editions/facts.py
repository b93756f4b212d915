"""What only this pack asks of a work and of a wall."""

from typing import Literal

from hangworthy.contract import Section, ask

Basis = Literal["artist-statement", "eu-vat-annex-ix", "hs-9702", "print-council-1961", "us-visual-art", "none"]
Plate = Literal["by-hand-by-artist", "by-hand-by-others", "photographically", "digitally", "no-plate"]
CouncilPoint = Literal["artist-made-image-for-print", "printed-by-or-for-artist", "artist-approved", "none"]
PhotoPoint = Literal["taken-by-artist", "printed-under-supervision", "made-for-exhibition", "none"]
Signature = Literal["by-hand", "in-plate", "stamped", "unsigned"]
ProofKind = Literal["artist-proof", "printer-proof", "hors-commerce", "unnumbered"]
Shows = Literal["originals-and-prints", "anything"]
LawOf = Literal["new-york", "california", "hawaii", "maryland", "european-union", "other"]

_PERCEPTUAL = "Sixteen hexadecimal digits of one perceptual hash (8 × 8, cosine), the same kind for every work."
_HEX64 = r"^[0-9a-fA-F]{16}$(?!\n)"
_MOST = 1_000_000


class EditionFacts(Section):
    """What a work was printed from, how many there are, and what it is a copy of."""

    basis: Basis = ask(
        "Basis of the claim",
        "By which definition do you call it an original?",
        "Choose the text that your certificate or price list names; none when you make no such claim.",
    )
    edition_size: int = ask(
        "Edition",
        "How many numbered copies are there in the edition?",
        "Count the numbered run alone, without proofs: 20 for 3/20. Write 0 for an open edition and 1 when it is unique.",
        lo=0,
        hi=_MOST,
        reads="edition_size",
    )
    number: int = ask(
        "Number",
        "Which number does this copy carry?",
        "3 for 3/20. Write 0 for a proof or a copy without a number.",
        lo=0,
        hi=_MOST,
        reads="edition_number",
    )
    plate: Plate = ask(
        "Plate, block, stone or screen",
        "How was the plate, block, stone or screen made?",
        "By hand means drawn, cut, etched or painted on it, without a camera, scanner or computer.",
    )
    from_existing_work: bool = ask(
        "From an existing work",
        "Does it show a work that exists in another medium?",
        "Yes for a print of a painting, a drawing or a textile; no when the image was made to be this print or photograph.",
    )
    council_points: tuple[CouncilPoint, ...] = ask(
        "Making of the print",
        "Which of these hold: you made the image for this print; you printed it or directed it; you approved it?",
        "Choose all that hold, or none.",
    )
    photo_points: tuple[PhotoPoint, ...] = ask(
        "Making of the photograph",
        "Which of these hold: you took it; you printed it or had it printed under your eyes; it was made for exhibition only?",
        "Choose all that hold, or none.",
    )
    signature: Signature = ask(
        "Signature",
        "How is this copy signed?",
        "By hand means in pencil or ink on this copy, or on a label on its back; in the plate, it prints along.",
    )
    image_of: str = ask(
        "Image of",
        "Which work's image is it?",
        "Give the reference of the work that it shows. If that work is not on your list, a short name for the image, always the same.",
        max_length=80,
    )
    edition_ref: str = ask(
        "Edition's reference",
        "What is your own reference for the edition?",
        "Any short code, the same on each copy of one edition and on no other.",
        max_length=80,
    )
    image_total: int = ask(
        "Copies of the image in all",
        "How many copies of this image are there, in all sizes and on all papers?",
        "Add up all editions and their proofs, also those that are planned.",
        lo=1,
        hi=_MOST,
    )
    proof_kind: ProofKind = ask(
        "Kind of proof", "What kind of proof is it?", "Read the letters in the margin: A.P., P.P., H.C.", reads="proof_kind"
    )
    proof_number: int = ask(
        "Number of the proof", "Which number does the proof carry?", "2 for A.P. 2/5.", lo=1, hi=_MOST, reads="proof_number"
    )
    artist_proofs: int = ask(
        "Artist's proofs", "How many artist's proofs are there?", "Marked A.P. or E.A.; 0 for none.", lo=0, hi=_MOST, reads="artist_proofs"
    )
    printer_proofs: int = ask(
        "Printer's proofs", "How many printer's proofs are there?", "Marked P.P.; 0 for none.", lo=0, hi=_MOST, reads="printer_proofs"
    )
    hors_commerce: int = ask(
        "Copies not for sale", "How many are marked H.C.?", "Hors commerce; 0 for none.", lo=0, hi=_MOST, reads="hors_commerce"
    )
    total_stated: int = ask(
        "Total as stated", "How many copies in all does the certificate state?", "The figure on your certificate.", lo=1, hi=_MOST * 4
    )
    year_made: int = ask(
        "Year", "In which year was this copy printed or cast?", "The year of this copy, not of the image.", lo=1400, hi=2200
    )
    posthumous: bool = ask("After the artist's death", "Was it made after the artist's death?")
    earlier_editions: bool = ask("Earlier editions", "Are there earlier editions of it?", "From the same plate or file, in any size.")
    matrix_cancelled: bool = ask(
        "Plate cancelled", "Has the plate been cancelled after the edition?", "Defaced, ground or deleted, so that no more can be made."
    )
    workshop: str = ask("Workshop", "Who printed or cast it?", "The name of the workshop, or your own.")
    certificate: bool = ask("Certificate", "Do the facts of the edition come with it in writing?", "A certificate, an invoice or a label.")
    resale: bool = ask("Resale", "Is it a resale, after the artist's own first sale?", "Sold by a later owner.", asked_of="coordinator")
    fingerprint: str = ask("Fingerprint", "What is the picture's perceptual fingerprint?", _PERCEPTUAL, asked_of="coordinator",
                           pattern=_HEX64, max_length=16)  # fmt: skip
    mirror_fingerprint: str = ask(
        "Fingerprint of the mirrored picture",
        "What is the fingerprint of the picture flipped left to right?",
        _PERCEPTUAL,
        asked_of="coordinator",
        pattern=_HEX64,
        max_length=16,
    )
    image_width_px: float = ask(
        "Picture width in pixels", "How many pixels wide is the file that it was printed from?", "As shot or scanned, not enlarged.",
        lo=1, hi=1_000_000,
    )  # fmt: skip
    image_height_px: float = ask(
        "Picture height in pixels", "How many pixels high is the file that it was printed from?", "As shot or scanned, not enlarged.",
        lo=1, hi=1_000_000,
    )  # fmt: skip


class EditionWallFacts(Section):
    """What a venue shows, whose law holds there, and from how near it is seen."""

    shows: Shows = ask(
        "What is shown", "Are only originals and original prints shown?", "As agreed with the client.", asked_of="coordinator"
    )
    law_of: LawOf = ask("Law", "Whose law holds for a sale there?", "Ask a lawyer where it is not plain.", asked_of="coordinator")
    nearest_viewer_mm: float = ask(
        "Nearest viewer",
        "From how near can people look at it?",
        "The width of the corridor, or the distance from a chair or desk.",
        lo=200,
        hi=100_000,
        asked_of="coordinator",
    )
