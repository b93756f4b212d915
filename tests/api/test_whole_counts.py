"""A count written with a point is the whole number it is; one that is not whole is refused."""

import pytest

from api.serving import installed_app
from hangworthy.intake import BadInput, Intake

BODY = '{{"works": [{{"ref": "a", "kind": "stretched-canvas", "canvas": {{"vertical_braces": {count}}}}}]}}'
SCHEMA = installed_app().state.service.catalogue.schema


@pytest.mark.parametrize(("written", "count"), [("2", 2), ("2.0", 2), ("2e0", 2), ("0.0", 0)])
def test_whole_counts_are_read(written: str, count: int) -> None:
    request = Intake(SCHEMA).read(BODY.format(count=written).encode())
    assert request.works[0].canvas.vertical_braces == count
    assert type(request.works[0].canvas.vertical_braces) is int


@pytest.mark.parametrize("written", ["2.5", '"two"', "-1.0", "1e3", "true"])
def test_others_are_refused_at_their_place(written: str) -> None:
    with pytest.raises(BadInput) as caught:
        Intake(SCHEMA).read(BODY.format(count=written).encode())
    assert [fault.pointer for fault in caught.value.faults] == ["/works/0/canvas/vertical_braces"]


@pytest.mark.parametrize("body", [b'{"works": 2.0}', b'{"works": [2.0]}', b'{"works": [{"ref": "a", "canvas": 2.0}]}', b"[2.0]"])
def test_other_shapes_are_refused_as_ever(body: bytes) -> None:
    with pytest.raises(BadInput):
        Intake(SCHEMA).read(body)
