"""A process of the crew, asked in this one: what it makes is what the service would make, and what it cannot make it leaves."""

import io
import select
import subprocess
import sys
from typing import Any

import msgspec
import pytest

from crew.making import AT, body, intake, setup
from hangworthy.crew.crew import view_of
from hangworthy.crew.messages import LENGTH, MOST_VIEWS, Ask, Forget, Line, Made, Ready, Setup, View, framed, from_crew
from hangworthy.crew.worker import Worker, work
from hangworthy.evaluating import filed
from hangworthy.intake import Intake


def said(*messages: Any) -> list[Any]:
    sink = io.BytesIO()
    work(io.BytesIO(b"".join(map(framed, messages))), sink)
    sink.seek(0)
    found = []
    while head := sink.read(LENGTH):
        found.append(from_crew(sink.read(int.from_bytes(head, "big"))))
    return found


def asked(known: Intake, *bodies: bytes, id: str | None = None, brief: bool = False) -> Made:
    ready, made = said(setup(), view_of(1, known), Ask(7, 1, [Line(one, AT, id, brief) for one in bodies]))
    assert ready == Ready(True)
    assert made.number == 7
    return made


def test_it_makes_what_the_service_would_make() -> None:
    known = intake()
    bodies = [
        body("a", canvas={"billow_mm": 3}),
        body("b", "annexe", canvas={"edge_bow_mm": [1, 0, "2 ± 1", 0]}),
        b'{"works": [{"ref": "c"}, {"ref": "d", "kind": "stretched-canvas"}], "stage": "return", "language": "de"}',
    ]
    for id, brief in (("an-id", False), (None, False), (None, True)):
        here = [msgspec.structs.replace(filed(known, one, AT, id=id, brief=brief), request=b"") for one in bodies]
        assert asked(known, *bodies, id=id, brief=brief).made == here


def test_what_is_wrong_is_left_to_the_service_and_the_rest_is_made() -> None:
    bodies = [body("a", width_mm="9 kg"), b"[1", body("b", "nowhere"), b"\xff", body("c"), b'{"works":[{"ref":"d","ref":"e"}]}']
    assert [None if one is None else one.works[0].ref for one in asked(intake(), *bodies).made] == [None, None, None, None, "c", None]


def test_a_venue_that_is_not_the_services_is_left_to_it() -> None:
    view = view_of(1, intake())
    house, annexe = view.venues
    strange = View(1, "house", (msgspec.structs.replace(house, fingerprint="another"), msgspec.structs.replace(annexe, content=b"{")))
    lines = [Line(body("a"), AT, None, False), Line(body("b", "annexe"), AT, None, False)]
    assert said(setup(), strange, Ask(1, 1, lines))[1].made == [None, None]


def test_other_packs_than_the_services_do_not_fit() -> None:
    name, version, fingerprint = setup().installed[0]
    assert said(setup(installed=((name, version, fingerprint[::-1]),))) == [Ready(False)]
    assert said(setup(faults=("slow-pack: another",))) == [Ready(False)]
    assert said(setup(packs=("canvas", "nowhere"))) == [Ready(False)]
    assert said(setup(host="upgraded meanwhile")) == [Ready(False)]


def test_what_was_erased_is_forgotten() -> None:
    worker = Worker(setup())
    worker.take(view_of(1, intake()))
    ask = Ask(1, 1, [Line(body("a", canvas={"billow_mm": 3.125}), AT, None, False)])
    made = worker.take(ask)
    (evaluator,) = worker.bound.values()

    def kept() -> str:
        return str([memory.last for group in evaluator.outlines.groups for way in group.ways for memory in way.memories.values()])

    assert "3.125" in kept()
    assert worker.take(Forget()) is None
    assert "3.125" not in kept()
    assert worker.take(ask) == made


def test_only_the_last_views_are_known() -> None:
    worker, known = Worker(setup()), intake()
    for number in range(3 * MOST_VIEWS):
        worker.take(view_of(number, known))
    assert len(worker.views) == MOST_VIEWS
    made = worker.take(Ask(1, 3 * MOST_VIEWS - 1, [Line(body("a"), AT, None, False)]))
    assert made is not None
    assert made.made[0] is not None
    assert len(worker.bound) == 1


def test_venues_that_changed_do_not_pile_up() -> None:
    worker, known = Worker(setup()), view_of(0, intake())
    for number in range(3 * MOST_VIEWS):
        venues = tuple(msgspec.structs.replace(one, content=one.content + b" " * number) for one in known.venues)
        worker.take(View(number, "house", venues))
        assert worker.take(Ask(number, number, [Line(body("a"), AT, None, False)])) is not None
        assert len(worker.bound) <= MOST_VIEWS + 3


def test_it_ends_with_its_input_also_in_the_midst_of_a_message() -> None:
    sink = io.BytesIO()
    work(io.BytesIO(framed(setup())[:3]), sink)
    assert sink.getvalue() == b""


def test_a_setup_says_all_by_which_two_services_could_differ() -> None:
    assert {field.name for field in msgspec.structs.fields(Setup)} == {"host", "packs", "load_seconds", "installed", "faults"}
    assert [one[0] for one in setup().installed] == ["canvas"]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux ends a process with its parent")
def test_it_ends_with_who_started_it_also_when_it_cannot_read() -> None:
    """A rule or an import that never comes back must not keep a process after a service that was killed."""
    inner = "import os, time; from hangworthy.crew.worker import _end_with; _end_with(os.getppid()); print(flush=True); time.sleep(60)"
    outer = f"import subprocess, sys; subprocess.run([sys.executable, '-c', {inner!r}])"
    with subprocess.Popen([sys.executable, "-c", outer], stdout=subprocess.PIPE) as service:
        assert service.stdout is not None
        assert service.stdout.read(1)
        service.kill()
        assert select.select([service.stdout], [], [], 20)[0]
        assert service.stdout.read(1) == b""  # nobody holds the pipe any longer


def test_a_pack_that_reads_or_prints_takes_nothing_of_what_is_said() -> None:
    """Both streams are the service's; a pack has neither."""
    program = """
import sys
from hangworthy.crew import worker
class Worker(worker.Worker):
    def take(self, message):
        print("I am a pack", sys.stdin.read(), flush=True)
        return super().take(message)
worker.Worker = Worker
worker.main()
"""
    known = intake()
    sent = [setup(), view_of(1, known), Ask(7, 1, [Line(body("a"), AT, None, False)])]
    done = subprocess.run(
        [sys.executable, "-c", program], input=b"".join(map(framed, sent)), stdout=subprocess.PIPE, check=True, timeout=60
    )
    assert done.stdout == b"".join(map(framed, said(*sent)))
