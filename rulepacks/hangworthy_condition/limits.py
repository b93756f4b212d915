"""The thresholds of this pack: published bands for mould and errors of tapes, and the programme's own policy for the rest."""

from hangworthy.contract import OWN_POLICY, Limits, limit, published

_MOULD = published("CCI Technical Bulletin 26", "size bands of a mould outbreak, by visible growth")
_TAPE = published("Directive 2014/32/EU", "annex X (MI-008) chapter I")


class ConditionLimits(Limits):
    """Limits of the condition pack."""

    mould_medium_m2: float = limit(0.3, "m2", _MOULD, "visible mould from which an outbreak is medium, no longer small", lo=0.001, hi=10)
    mould_large_m2: float = limit(3, "m2", _MOULD, "visible mould from which it is large and needs outside expertise", lo=0.01, hi=100)
    mould_extensive_m2: float = limit(10, "m2", _MOULD, "visible mould above which it is extensive", lo=0.1, hi=1_000)
    long_tear_mm: float = limit(50, "mm", OWN_POLICY, "the longest tear that may travel without a board behind it", lo=1, hi=1_000)
    tape_class: float = limit(2, "", _TAPE, "the class printed on the tapes at the offer and the bench: 1, 2 or 3", lo=1, hi=3)
    reading_mm: float = limit(
        0.5, "mm", OWN_POLICY, "what each reading of a tape may be off by: half the millimetre it is read to", lo=0, hi=50
    )
    weight_share_percent: float = limit(
        10, "%", OWN_POLICY, "how far two weighings may differ, as a share of what was declared", lo=0, hi=100
    )
    weight_least_kg: float = limit(
        0.5, "kg", OWN_POLICY, "the difference that a bathroom scale cannot tell, whatever it weighs", lo=0, hi=10
    )
