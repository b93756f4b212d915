"""Lines of dimensions as people write them. Expected values are worked out by hand; 1 in = 25.4 mm (yard and pound agreement, 1959)."""

import pytest

from hangworthy.readings.dimensions import read_dimensions

FRAMED = {"height": 600, "width": 400, "framed": True, "frame_height": 800, "frame_width": 600}

# text -> facts (mm, kg); everything that is not listed must not be there.
SAID = [
    ("H 60 W 40 cm", {"height": 600, "width": 400}),
    ("60 (h) x 40 (w) x 3 cm", {"height": 600, "width": 400, "depth": 30}),
    ("24 in wide by 36 in tall", {"width": 609.6, "height": 914.4}),
    ("B 60 x H 90 x T 4 cm", {"width": 600, "height": 900, "depth": 40}),
    ("Höhe 60, Breite 40 cm", {"height": 600, "width": 400}),
    ("60cm breit, 90cm hoch", {"height": 900, "width": 600}),
    ("height: 60 cm; width: 40 cm; depth: 3 cm", {"height": 600, "width": 400, "depth": 30}),
    ("height: 60 cm\nwidth: 40 cm", {"height": 600, "width": 400}),
    ("24 x 36 x 1 1/2 in (h x w x d)", {"height": 609.6, "width": 914.4, "depth": 38.1}),
    ("90 x 60 cm (WxH)", {"height": 600, "width": 900}),
    ("H 60 auf B 80 cm", {"height": 600, "width": 800}),
    ("60 cm hoch auf 80 cm breit", {"height": 600, "width": 800}),
    ("60 auf 80 auf 4 cm (HxBxT)", {"height": 600, "width": 800, "depth": 40}),
    ("60 auf 80 cm, Querformat", {"height": 600, "width": 800}),
    ("Motiv 30 x 40 cm auf Blatt 50 x 60 cm (h x w)", {"height": 500, "width": 600, "image_size": (400, 300)}),
    ("70 x 50 cm (H × B)", {"height": 700, "width": 500}),
    ("5' 3\" x 4' 2\" portrait", {"height": 1600.2, "width": 1270}),
    ("36½″ × 24″ landscape", {"height": 609.6, "width": 927.1}),
    ("100x70cm hochformat, 2,4 kg", {"height": 1000, "width": 700, "weight": 2.4}),
    ("60 x 60 cm", {"height": 600, "width": 600}),
    ("diameter 60 cm", {"height": 600, "width": 600}),
    ("⌀ 60 cm", {"height": 600, "width": 600}),
    ("support: 222 x 556 mm", {"height": 222, "width": 556}),
    ("h. 60 cm", {"height": 600}),
    ("5 lb 4 oz", {"weight": 84 * 0.45359237 / 16}),
    ("frame: 404 x 733 x 73 mm", {"framed": True, "frame_height": 404, "frame_width": 733, "frame_depth": 73}),
    ("H 60 x W 90 cm, framed 70 x 100 cm", {"height": 600, "width": 900, "framed": True, "frame_height": 700, "frame_width": 1000}),
    ("60 x 40 cm framed 80 x 60 cm (h x w)", FRAMED),
    ("60x40cm gerahmt 80x60cm (HxB)", FRAMED),
    ("60 x 40 cm mit Rahmen 80 x 60 cm (h x w)", FRAMED),
    ("60 x 40 cm unframed 80 x 60 cm framed (h x w)", FRAMED),
    ("80 x 60 cm framed 60 x 40 cm unframed (h x w)", FRAMED),
    ("framed 80 x 60 cm unframed 60 x 40 cm (h x w)", FRAMED),
    ("DIN A2 quer", {"height": 420, "width": 594}),
    ("DIN A 2, hochkant", {"height": 594, "width": 420}),
    ("din-a3 Hochformat", {"height": 420, "width": 297}),
    ("A4 landscape", {"height": 210, "width": 297}),
    ("ISO B4 hoch", {"height": 353, "width": 250}),
    ("A0 upright, 2 kg", {"height": 1189, "width": 841, "weight": 2}),
    ("A6 quer", {"height": 105, "width": 148}),
    ("A3 (42 x 29,7 cm, h x w)", {"height": 420, "width": 297}),
    ("A3 (29,7 x 42 cm, h x w)", {"height": 297, "width": 420}),
    ("A3 quer (42 x 29,7 cm)", {"height": 297, "width": 420}),
    ("A3 quer, gerahmt 40 x 50 cm (h x w)", {"height": 297, "width": 420, "framed": True, "frame_height": 400, "frame_width": 500}),
    ("B4 x H6 cm", {"height": 60, "width": 40}),  # a width of 4, no paper
    ("60 x 90 cm quer", {"height": 600, "width": 900}),
    ("100 x 80 x 3 (HxBxT) cm", {"height": 1000, "width": 800, "depth": 30}),
    ("100 x 80 x 3 (HxBxT in cm)", {"height": 1000, "width": 800, "depth": 30}),
    ("100 x 80 HxB cm", {"height": 1000, "width": 800}),
    ("10 x 8 (h x w) in", {"height": 254, "width": 203.2}),
    ("60 x 40 cm framed (h x w)", {"framed": True, "frame_height": 600, "frame_width": 400}),
    ("60 x 40 cm without frame 80 x 60 cm with frame (h x w)", FRAMED),
    (
        "16 x 20 in framed to 20 x 24 in (h x w)",
        {"height": 406.4, "width": 508, "framed": True, "frame_height": 508, "frame_width": 609.6},
    ),
    ("H 30 x W 60 cm, frame 60 x 30 cm (h x w)", {"framed": True}),  # it does not fit in: which is which is asked
    ("80 x 60 cm framed 60 x 40 cm (h x w)", {"framed": True}),
    ("80 x 60 cm framed 60 x 40 cm", {"framed": True}),
    ("image 30 x 40 cm, sheet 50 x 60 cm (h x w)", {"height": 500, "width": 600, "image_size": (400, 300)}),
    ("image: 450 x 685 mm / support: 540 x 690 mm", {"height": 540, "width": 690, "image_size": (685, 450)}),
    ("support & image: 295 x 233 mm", {"height": 295, "width": 233}),
    ("object, each: 1092 x 1092 x 724 mm / displayed: 2400 x 3300 x 800 mm", {"height": 2400, "width": 3300, "depth": 800}),
    ("without frame: 60 x 90 cm", {"height": 600, "width": 900}),
    ("1,200 x 900 mm (h x w)", {"height": 1200, "width": 900}),
    ("80cmx60cm (h x w)", {"height": 800, "width": 600}),
    ("80CMX60CM hochformat", {"height": 800, "width": 600}),
    ("24inx36in (h x w)", {"height": 609.6, "width": 914.4}),
    ("24in.x36in. (h x w)", {"height": 609.6, "width": 914.4}),
    ("60cmx80cmx4cm (h x w x d)", {"height": 600, "width": 800, "depth": 40}),
    ("H60xB80cm", {"height": 600, "width": 800}),
    ("60bx80h cm", {"width": 600, "height": 800}),
    ("60(w) x 80(h) cm", {"width": 600, "height": 800}),
    ("60 (w) x 80 (h) x 4 (d) cm", {"width": 600, "height": 800, "depth": 40}),
    ("60b x 80h cm", {"width": 600, "height": 800}),
    ("24w x 36h in", {"width": 609.6, "height": 914.4}),
    ("W 80 H 60 D 4 cms", {"width": 800, "height": 600, "depth": 40}),
    ("60 hoch mal 80 breit cm", {"height": 600, "width": 800}),
    ("60 cm mal 80 cm (h x w)", {"height": 600, "width": 800}),
    ("60 mal 80 cm (HxB)", {"height": 600, "width": 800}),
]


@pytest.mark.parametrize(("text", "facts"), SAID, ids=lambda value: str(value)[:40])
def test_what_is_said(text: str, facts: dict[str, object]) -> None:
    found = {one.name: one.value for one in read_dimensions(text).found}
    assert found.keys() == facts.keys()
    for name, value in facts.items():
        assert found[name] == pytest.approx(value)


# text -> the rule that asks, and what for.
ASKED = [
    ("24 x 36 in", "order-open", ("height", "width")),
    ("61 × 91,4 cm (unframed)", "order-open", ("height", "width")),
    ("60 x 90 x 4 cm", "order-open", ("height", "width")),
    ("60 x 4 x 90 cm", "order-open", ("height", "width", "depth")),
    ("24 x 36", "unit-open", ("height", "width")),
    ("60*90", "unit-open", ("height", "width")),
    ("60 cm", "one-open", ("height", "width")),
    ("80 x 60 cm framed 60 x 40 cm (h x w)", "frame-smaller", ("height", "width", "frame_height", "frame_width")),
    ("A3", "way-open", ("height", "width")),
    ("Blatt: A3", "way-open", ("height", "width")),
    ("A3 (42 x 29.7 cm)", "order-open", ("height", "width")),
    ("B4", "unit-open", ("height", "width")),
    ("20 x A4 cm", "one-open", ("height", "width")),
    ("A4 x 20 cm", "order-open", ("height", "width")),
    ("100 x 80 (HxB)", "unit-open", ("height", "width")),
    ("80 x 60 cm framed 60 x 40 cm", "frame-smaller", ("height", "width", "frame_height", "frame_width")),
    ("ca. 60 x 90 cm", "rough-open", ("height", "width")),
    ("60-65 x 90 cm", "range-open", ("height", "width")),
    ("24/36 in", "number-open", ("height", "width")),
    ("1,200 x 900 cm", "comma-open", ("height", "width")),
    ("1.200 x 900 mm", "sense-open", ("height", "width")),
    ("3 panels, each 60 x 40 cm", "parts-open", ("height", "width")),
    ("object: 184 x 184 x 31 mm / object: 182 x 182 x 41 mm", "parts-open", ("height", "width")),
    ("image: 216 x 234 mm", "sheet-open", ("height", "width")),
    ("plinth 60 x 40 x 40 cm", "what-open", ("height", "width")),
    ("2 kg, 3 kg with frame", "weights-open", ("weight",)),
    ("h. 60 cm", "half-open", ("width",)),
    ("framed 70 x 100 cm", "frame-order-open", ("frame_height", "frame_width")),
    ("60 x 90 cm or 24 x 36 in", "parts-open", ("height", "width")),
    ("80cmx60cm", "order-open", ("height", "width")),
    ("60 mal 80 cm", "order-open", ("height", "width")),
    ("60b x 80h in oak", "unit-open", ("height", "width")),  # “in” may be no inch
    ("60b x 80h kg", "unit-open", ("height", "width")),
    ("3 x (40 x 60 cm)", "parts-open", ("height", "width")),
    ("3 mal (40 x 60 cm, h x w)", "parts-open", ("height", "width")),
    ("(40 x 60 cm, h x w) x 3", "parts-open", ("height", "width")),
    ("1 x (40 x 60 cm)", "order-open", ("height", "width")),
    ("(40 x 60) x 3 cm", "parts-open", ("height", "width")),
]


@pytest.mark.parametrize(("text", "rule", "names"), ASKED, ids=lambda value: str(value)[:40])
def test_what_is_asked(text: str, rule: str, names: tuple[str, ...]) -> None:
    read = read_dimensions(text)
    assert (rule, names) in [(one.rule, one.names) for one in read.unsure]
    assert not {one.name for one in read.found} & set(names)


def test_the_convention_settles_the_order_and_a_contradiction_opens_it() -> None:
    first = {one.name: one.value for one in read_dimensions("24 x 36 in", "height-first").found}
    assert first == {"height": pytest.approx(609.6), "width": pytest.approx(914.4)}
    second = {one.name: one.value for one in read_dimensions("24 x 36 in", "width-first").found}
    assert second == {"height": pytest.approx(914.4), "width": pytest.approx(609.6)}
    assert read_dimensions("24 x 36 in, portrait", "height-first").found == ()
    assert [one.value for one in read_dimensions("H 60 W 90 cm", "width-first").found] == [600, 900]


def test_the_pair_is_known_where_only_the_order_is_not() -> None:
    (size,) = read_dimensions("24 x 36 in").sizes
    assert size.numbers == pytest.approx((609.6, 914.4))
    assert (size.height_mm, size.width_mm, size.order) == (None, None, "")
    (asked,) = read_dimensions("24 x 36 in").unsure
    assert asked.ways == (("24 in", "36 in"), ("36 in", "24 in"))


def test_the_same_size_in_a_second_unit_is_one_size() -> None:
    assert len(read_dimensions("61 x 91.4 cm (24 x 36 in)").sizes) == 1
    assert len(read_dimensions("61 x 91.4 cm (25 x 36 in)").sizes) == 2


def test_an_image_goes_the_way_that_fits_its_sheet() -> None:
    said = {one.name: (one.value, one.rule) for one in read_dimensions("sheet H 50 x W 70 cm, image 60 x 40 cm").found}
    assert said["image_size"] == ((600, 400), "order-fits")


def test_how_many_there_are_is_read_and_a_number_that_counts_nothing_is_told() -> None:
    (size,) = read_dimensions("3 x (40 x 60 cm)").sizes
    assert size.each
    assert read_dimensions("3 x (40 x 60 cm)").unread == ()
    for text, unread in (("1 x (40 x 60 cm)", "1"), ("60 x (80 cm)", "60")):
        assert [text[start:end] for start, end in read_dimensions(text).unread] == [unread]


def test_words_that_nobody_understands_are_told() -> None:
    text = "30 x 40 in gallery wrapped"
    assert [text[start:end] for start, end in read_dimensions(text).unread] == ["gallery", "wrapped"]
