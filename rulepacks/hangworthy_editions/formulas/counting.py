"""Counting an edition: its numbered run, its proofs, all that is in circulation, and how many a text allows."""

import math
from collections.abc import Sequence
from typing import Final

from hangworthy_handbook.checks import within

_MOST: Final = 1e9

# Copies that still count, by text and kind of work.
_ALLOWED: Final[dict[tuple[str, str], int]] = {
    ("eu-vat-annex-ix", "sculpture"): 8,
    ("eu-vat-annex-ix", "textile"): 8,
    ("eu-vat-annex-ix", "enamel"): 8,
    ("eu-vat-annex-ix", "photograph"): 30,
    ("fr-cgi-98-a", "sculpture"): 8,
    ("fr-cgi-98-a", "textile"): 8,
    ("fr-cgi-98-a", "enamel"): 8,
    ("fr-cgi-98-a", "photograph"): 30,
    ("fr-cgi-98-a", "monotype"): 1,
    ("us-visual-art", "print"): 200,
}


def total_in_circulation(edition: int, artist_proofs: int = 0, printer_proofs: int = 0, hors_commerce: int = 0) -> int:
    """All copies of an edition that are in circulation: the numbered run and the proofs, which stand outside of it.

    Parameters
    ----------
    edition : copies in the numbered run [-]
    artist_proofs, printer_proofs, hors_commerce : proofs of each kind [-]

    Returns: edition + AP + PP + HC [-]

    Validity: whole numbers from 0. Errors: ValueError below 0.
    Source: field lists of Maryland § 14-504 and Hawaii § 481F-4.
    Rows: E-26, E-08, E-26b.
    """
    for name, count in (("edition", edition), ("artist_proofs", artist_proofs), ("printer_proofs", printer_proofs)):
        within(name, count, 0, _MOST)
    within("hors_commerce", hors_commerce, 0, _MOST)
    return edition + artist_proofs + printer_proofs + hors_commerce


def proofs_allowed(edition: int, share_percent: float) -> int:
    """The customary number of artist's proofs beside a numbered run; one is customary however small the run.

    Parameters
    ----------
    edition : copies in the numbered run [-]
    share_percent : proofs as a share of the run [%]

    Returns: the largest whole number within the share, at least 1 [-]

    Validity: runs from 1, shares from 0 to 100 %. Errors: ValueError outside of it.
    Source: common practice of print publishers, 5 to 10 % of the edition.
    Rows: E-25, E-25b, E-25c.
    """
    within("edition", edition, 1, _MOST)
    within("share_percent", share_percent, 0.0, 100.0)
    return max(1, math.floor(edition * share_percent / 100.0 + 1e-9))


def counted_together(runs: Sequence[int]) -> int:
    """Copies of one image over all its sizes and supports.

    Parameters
    ----------
    runs : copies of each size or support [-]

    Returns: their sum [-]

    Validity: whole numbers from 0. Errors: ValueError below 0.
    Source: Directive 2006/112/EC, Annex IX, part A, point 7: all sizes and supports included.
    Rows: E-04, E-04b.
    """
    for count in runs:
        within("runs", count, 0, _MOST)
    return sum(runs)


def most_copies(text: str, kind: str) -> int:
    """How many copies a text allows before a work of a kind no longer counts under it.

    Parameters
    ----------
    text : eu-vat-annex-ix, fr-cgi-98-a or us-visual-art
    kind : sculpture, textile, enamel, photograph, monotype or print

    Returns: the largest number of copies [-]

    Validity: the pairs that the texts name. Errors: ValueError for another.
    Source: Directive 2006/112/EC, Annex IX, part A; CGI annex III art. 98 A; 17 U.S.C. § 101.
    Rows: E-02, E-03, E-04c, E-06a, E-06b, E-06c, E-07, E-17.
    """
    if (text, kind) not in _ALLOWED:
        raise ValueError(f"text and kind should be one of {', '.join(map(' for '.join, _ALLOWED))}, but are {text!r} and {kind!r}.")
    return _ALLOWED[text, kind]
