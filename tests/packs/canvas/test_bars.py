"""The bars: what is said of stains, and what of wood and joints."""

import pytest

from hangworthy.contract import CAUTION_MOULD, State
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset
from hangworthy_canvas import PACK
from small_packs import VENUE, evaluate

ASK = Evaluator(Ruleset(build_catalogue([installed_pack(PACK)]), VENUE))


@pytest.mark.parametrize(("language", "apart"), [("en", "Keep it apart and dry"), ("de", "abseits und trocken")])
@pytest.mark.parametrize("fault", ["swollen", "split", "loose", "stained"])
def test_only_stained_bars_are_said_to_hide_mould(fault: str, language: str, apart: str) -> None:
    asked = ASK.speaking(language)
    got = evaluate(asked, {"kind": "stretched-canvas", "canvas": {"bar_condition": [fault]}}).works[0]
    [unmet] = [finding for finding in got.findings if finding.rule == "canvas.sound-bars" and finding.state is State.UNMET]
    assert (apart in unmet.remedy) is (fault == "stained")
    assert len(unmet.cautions) == (2 if fault == "stained" else 1)
    assert language != "en" or (CAUTION_MOULD in unmet.cautions) is (fault == "stained")
