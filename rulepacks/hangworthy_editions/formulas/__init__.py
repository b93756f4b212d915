"""The editions pack's formulas: numbers in, numbers out. Each says its units, its range, its source and its rows."""

from .counting import counted_together, most_copies, proofs_allowed, total_in_circulation
from .fingerprints import BITS, Crowded, hamming, near_pairs
from .law import facts_owed, new_york_section, resale_royalty
from .pixels import arc_minutes, merging_distance, printed_ppi, required_ppi, viewing_distance
from .prices import Line, median, modified_z_scores, theil_sen

__all__ = [
    "BITS",
    "Crowded",
    "Line",
    "arc_minutes",
    "counted_together",
    "facts_owed",
    "hamming",
    "median",
    "merging_distance",
    "modified_z_scores",
    "most_copies",
    "near_pairs",
    "new_york_section",
    "printed_ppi",
    "proofs_allowed",
    "required_ppi",
    "resale_royalty",
    "theil_sen",
    "total_in_circulation",
    "viewing_distance",
]
