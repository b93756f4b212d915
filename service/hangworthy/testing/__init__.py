"""The testing kit for pack authors. The built-in packs are held to the same.

Cases are data: one ``cases/<rule>.toml`` per rule, with the kinds pass, fail, edge and unknown. A pack's whole test module::

    import pytest
    from hangworthy.testing import cases_of, check_case, conform
    from my_pack import PACK

    def test_pack() -> None:
        conform(PACK)

    @pytest.mark.parametrize("case", cases_of(PACK), ids=str)
    def test_case(case) -> None:
        check_case(PACK, case)
"""

from hangworthy.testing.cases import Case, CaseError, Expect, cases_of
from hangworthy.testing.conform import conform
from hangworthy.testing.published import RowResult, check_rows
from hangworthy.testing.runner import check_case, evaluate_case, findings_of, run_case, wrong_with
from hangworthy.testing.wording import Sentence, faults_of, render_sentences

__all__ = [
    "Case",
    "CaseError",
    "Expect",
    "RowResult",
    "Sentence",
    "cases_of",
    "check_case",
    "check_rows",
    "conform",
    "evaluate_case",
    "faults_of",
    "findings_of",
    "render_sentences",
    "run_case",
    "wrong_with",
]
