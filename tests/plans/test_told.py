"""Remedies as the coordinator reads them: nobody who plans is sent to ask the coordinator."""

import pytest

from hangworthy.contract import State
from hangworthy.discovery import discover
from hangworthy.plans.told import to_coordinator
from hangworthy.testing import cases_of
from hangworthy.testing.runner import findings_of

PACKS = {one.pack.name: one.pack for one in discover()[0]}

TOLD = [
    ("Ask your coordinator for an inner wall; spacers do not help.", "Look for an inner wall; spacers do not help."),
    ("Ask your coordinator to hang it here for 45 days at most.", "Hang it here for 45 days at most."),
    ("Ask for another wall: soot rises.", "Look for another wall: soot rises."),
    ("Add a film; or your coordinator for another wall.", "Add a film; or look for another wall."),
    ("Add a film; or us for another wall.", "Add a film; or look for another wall."),
    ("Have it closed. Or ask us for a steadier room.", "Have it closed. Or look for a steadier room."),
    ("We look for an inner wall. We do not brush it.", "Look for an inner wall. Do not brush it."),
    ("We hang it lower; if we cannot, we tell you.", "Hang it lower; if we cannot, we tell you."),
    ("Your coordinator will not brush it.", "Do not brush it."),
    ("Come with a second person, or tell your coordinator, who will send two.", "Come with a second person, or send two."),
    ("Else your coordinator will plan two people.", "Else plan two people."),
    ("Ask a framer for laminated glass.", "Ask a framer for laminated glass."),
    ("", ""),
]


@pytest.mark.parametrize(("remedy", "said"), TOLD)
def test_what_is_asked_of_the_coordinator_becomes_what_to_do(remedy: str, said: str) -> None:
    assert to_coordinator(remedy) == said


@pytest.mark.parametrize("name", PACKS)
def test_no_remedy_of_a_pack_sends_the_coordinator_to_the_coordinator(name: str) -> None:
    found = {one.remedy for case in cases_of(PACKS[name]) for one in findings_of(PACKS[name], case) if one.state is State.UNMET}
    assert found
    for remedy in found:
        said = to_coordinator(remedy)
        assert "coordinator" not in said
        assert "ask us" not in said.lower()
        assert not said.startswith("We ")
        assert said[:1] == said[:1].upper()
        assert "  " not in said
