"""The thresholds of this pack. What a text counts comes from it; what prices may be to each other is the programme's own policy."""

from hangworthy.contract import COMMON_PRACTICE, OWN_POLICY, Limits, limit, published

EU_VAT = "Directive 2006/112/EC"
PRINTS_TEXT = published(EU_VAT, "Annex IX, part A, point 2")
CASTS_TEXT = published(EU_VAT, "Annex IX, part A, point 3")
TAPESTRIES_TEXT = published(EU_VAT, "Annex IX, part A, point 4")
PHOTOGRAPHS_TEXT = published(EU_VAT, "Annex IX, part A, point 7")
MONOTYPE_TEXT = published("BOFiP, commentary on CGI annex III art. 98 A", "monotypes count with unique works")
EIGHT_AND_FOUR = published("French professional usage", "eight numbered casts and four artist's casts", from_memory=True)
VISUAL_ART_TEXT = published("17 U.S.C. § 101", "work of visual art")
NEW_YORK_TEXT = published("New York Arts and Cultural Affairs Law", "§ 15.01, facts of § 15.03")
NEW_YORK_CASTS_TEXT = published("New York Arts and Cultural Affairs Law", "price of § 15.01; the list of facts", from_memory=True)
CALIFORNIA_TEXT = published("California Civil Code", "§§ 1742 to 1744.9")
RESALE_TEXT = published("Directive 2001/84/EC", "bands, cap and highest threshold of the resale right")
SCORE_TEXT = published("Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993)", "modified z-score", from_memory=True)
ACUITY_TEXT = published("Optics of the eye", "20/20 acuity: one minute of arc")


class EditionLimits(Limits):
    """Limits of the editions pack."""

    proof_share_percent: float = limit(10, "%", COMMON_PRACTICE, "artist's proofs as a share of the edition", lo=0, hi=100)
    casts: float = limit(8, "", CASTS_TEXT, "the most casts of a sculpture that count as works of art", lo=1, hi=100)
    casts_and_proofs: float = limit(12, "", EIGHT_AND_FOUR, "the most casts with the artist's own", lo=1, hi=200)
    tapestries: float = limit(8, "", TAPESTRIES_TEXT, "the most copies of a tapestry or textile that count", lo=1, hi=100)
    photographs: float = limit(30, "", PHOTOGRAPHS_TEXT, "the most copies of a photograph, all sizes and supports together", lo=1, hi=1_000)
    limited_us: float = limit(200, "", VISUAL_ART_TEXT, "the most copies of a limited edition of visual art", lo=1, hi=10_000)
    monotype: float = limit(1, "", MONOTYPE_TEXT, "the copies that one monotype has", lo=1, hi=10)
    fingerprint_bits: float = limit(8, "", OWN_POLICY, "the bits in which fingerprints of one image may differ", lo=0, hi=16)
    order_ratio: float = limit(1, "", OWN_POLICY, "a copy's price over its original's must stay below it", lo=0.01, hi=1)
    print_ratio: float = limit(0.5, "", OWN_POLICY, "the most that a print may cost of its original", lo=0.01, hi=1)
    price_score: float = limit(3.5, "", SCORE_TEXT, "the modified z-score above which a price is out of line", lo=1, hi=20)
    price_works: float = limit(8, "", OWN_POLICY, "the fewest priced works of an artist that are compared", lo=5, hi=1_000)
    price_step_percent: float = limit(5, "%", OWN_POLICY, "the typical spread of prices that counts as rounding", lo=0.1, hi=100)
    acuity_arcmin: float = limit(1, "", ACUITY_TEXT, "the smallest angle that the eye tells, in minutes of arc", lo=0.3, hi=5)
    diagonals_away: float = limit(1.5, "", COMMON_PRACTICE, "the viewing distance in diagonals of the print", lo=0.5, hi=5)
    near_mm: float = limit(250, "mm", OWN_POLICY, "the nearest that anybody looks from", lo=100, hi=2_000)
    new_york_usd: float = limit(100, "USD", NEW_YORK_TEXT, "facts are owed for multiples above this price", lo=0, hi=100_000)
    new_york_sculpture_usd: float = limit(1_500, "USD", NEW_YORK_TEXT, "facts are owed for casts above this price", lo=0, hi=100_000)
    california_usd: float = limit(100, "USD", CALIFORNIA_TEXT, "facts are owed for multiples from this price", lo=0, hi=100_000)
    resale_from_eur: float = limit(3_000, "EUR", RESALE_TEXT, "the resale right applies from this price", lo=0, hi=3_000)
