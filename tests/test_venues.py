"""Venue files: what a good one gives, and the sentence that each bad one gets."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hangworthy.contract import OWN_POLICY, Check, Effect, Guard, Limits, RulePack, StockFrame, Words, at_most, fact, limit, rule
from hangworthy.engine.catalogue import Catalogue, Installed, build_catalogue
from hangworthy.engine.fault import VenueError
from hangworthy.engine.ruleset import Ruleset
from hangworthy.venues import MOST_BYTES, default_venue, load_venue, load_venues, venue_from
from hangworthy.venues.reader import VenueReader


class SizeLimits(Limits):
    """Limits of the pack under the venues."""

    widest_mm: float = limit(1000, "mm", OWN_POLICY, "the widest work", lo=100, hi=5000)


@rule(
    "narrow",
    effect=Effect.ADVISE,
    source=OWN_POLICY,
    uses=["widest_mm"],
    words=Words(measure="Width", met="It is narrow.", unmet="It is wide.", remedy="Hang it elsewhere."),
)
def narrow(limits: SizeLimits, width: float = fact("width_mm"), wall: float = fact("wall.width_mm")) -> Check:
    """Is it narrow?"""
    return at_most(width, min(limits.widest_mm, wall), unit="mm")


PACK = RulePack(name="size", version="1", title="Size", rules=[narrow], cases={"narrow": ""}, limits=SizeLimits)
HEAD = 'name = "hall"\n'
WALL = HEAD + '[[walls]]\nname = "north"\n'
FRAME = HEAD + '[[frames]]\nname = "A3"\nwidth_mm = 297\nheight_mm = 420\n'


CATALOGUE = build_catalogue([Installed(pack=PACK, case_names=frozenset(["narrow"]))])
SCHEMA = CATALOGUE.schema


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return CATALOGUE


GOOD = """
name = "hall"
version = 4
title = "The hall"
packs = ["size"]

[limits]
"size.widest_mm" = { value = "1.2 m", reason = "the hall is wide" }

[guard]
low = 0.1
high = 0.9

[conditions]
rh_percent = 45
temp_c = "68 °F"

[[walls]]
name = "north"
width_mm = "11 ft 6 in"
height_mm = 2500
build = "brick"
walkway = true
rh_percent = "58 %"

[[walls]]
name = "south"

[[frames]]
name = "A3"
width_mm = "29,7 cm"
height_mm = 420
window_width_mm = 280
glazing = "none"
count = 0
"""


def test_a_venue_file_becomes_a_venue(catalogue: Catalogue) -> None:
    venue = venue_from(GOOD.encode(), catalogue.schema, "hall.toml")
    assert (venue.name, venue.version, venue.title, venue.packs) == ("hall", 4, "The hall", ("size",))
    assert venue.guard == Guard(low=0.1, high=0.9)
    assert venue.limits["size.widest_mm"].reason == "the hall is wide"
    assert venue.conditions.temp_c == pytest.approx(20.0)
    assert list(venue.walls) == ["north", "south"]
    assert venue.walls["north"].width_mm == pytest.approx(3505.2)
    assert venue.frames == (StockFrame(name="A3", width_mm=297, height_mm=420, window_width_mm=280, glazing="none", count=0),)
    ruleset = Ruleset(catalogue, venue)
    assert ruleset.limits["size.widest_mm"].value == 1200
    slot = catalogue.schema.by_path["wall.rh_percent"].index - catalogue.schema.wall_start
    assert [ruleset.places[name][slot] for name in ("north", "south")] == [58.0, 45.0]


def test_the_fingerprint_is_of_what_is_said_and_not_of_how(catalogue: Catalogue) -> None:
    def print_of(text: str) -> str:
        return venue_from(text.encode(), catalogue.schema, "x").fingerprint

    assert len(print_of(GOOD)) == 16
    assert print_of(GOOD) == print_of("# a remark\n" + GOOD.replace("rh_percent = 45\ntemp_c", "rh_percent = 45.0\n\ntemp_c"))
    assert print_of(GOOD) != print_of(GOOD.replace("45", "46"))
    assert print_of(GOOD) != print_of(GOOD.replace("version = 4", "version = 5"))


def test_the_least_that_a_venue_needs_is_its_name(catalogue: Catalogue) -> None:
    venue = venue_from(b'\xef\xbb\xbfname = "hall"', catalogue.schema, "x")
    assert (venue.version, venue.packs, venue.frames, venue.conditions, dict(venue.walls)) == (1, None, None, None, {})


def test_no_frames_listed_is_not_the_same_as_an_empty_stock(catalogue: Catalogue) -> None:
    assert venue_from(b'name = "hall"\nframes = []', catalogue.schema, "x").frames == ()


def test_the_default_venue_has_every_pack_and_default(catalogue: Catalogue) -> None:
    venue = default_venue()
    assert venue.name == "default"
    assert len(venue.fingerprint) == 16
    assert [one.name for one in Ruleset(catalogue, venue).packs] == ["size"]


BAD = {
    "no name": ("version = 1", "x.toml: name: this is missing"),
    "empty": ("", "name: this is missing"),
    "empty name": ('name = ""', "name: this must be one line of text of 1 to 80 characters"),
    "name with spaces": ('name = " hall "', "no space at its ends"),
    "name of two lines": ('name = "a\\nb"', "name: this must be one line"),
    "name is a number": ("name = 7", "name: this must be one line of text"),
    "long name": (f'name = "{"x" * 81}"', "name: this must be one line of text of 1 to 80"),
    "misspelt key": (HEAD + "verison = 2", "verison: there is no such key. Did you mean “version”?"),
    "strange key": (HEAD + "qqq = 2", "qqq: there is no such key. There are: name, version, title, packs"),
    "version zero": (HEAD + "version = 0", "version: this must be a whole number from 1"),
    "version in quotes": (HEAD + 'version = "2"', "version: this must be a whole number"),
    "version true": (HEAD + "version = true", "version: this must be a whole number"),
    "title empty": (HEAD + 'title = ""', "title: this must be one line"),
    "packs is a text": (HEAD + 'packs = "size"', "packs: this must list at least one pack by name"),
    "packs empty": (HEAD + "packs = []", "leave it out for every pack"),
    "pack twice": (HEAD + 'packs = ["size", "size"]', "packs: “size” is there twice"),
    "limits is a list": (HEAD + "limits = []", "limits: this must be a table; write [limits]"),
    "limit is a number": (
        HEAD + '[limits]\n"size.widest_mm" = 3',
        'limits."size.widest_mm": this must be the full name in quotes, with value',
    ),
    "limit without quotes": (
        HEAD + '[limits]\nsize.widest_mm = { value = 900, reason = "small" }',
        'limits."size": this must be the full name',
    ),
    "limit without value": (
        HEAD + '[limits]\n"size.widest_mm" = { reason = "small hall" }',
        ".value: this must be a number in the limit's unit",
    ),
    "limit value true": (HEAD + '[limits]\n"size.widest_mm" = { value = true, reason = "small" }', ".value: this must be a number"),
    "limit without reason": (HEAD + '[limits]\n"size.widest_mm" = { value = 900 }', ".reason: this must say why the venue differs"),
    "limit with short reason": (HEAD + '[limits]\n"size.widest_mm" = { value = 900, reason = " a " }', ".reason: this must say why"),
    "limit with ±": (HEAD + '[limits]\n"size.widest_mm" = { value = "900 ± 5", reason = "small" }', "taken as exact; write it without ±"),
    "limit key misspelt": (
        HEAD + '[limits]\n"size.widest_mm" = { vaule = 9, reason = "small" }',
        ".vaule: there is no such key. Did you mean “value”?",
    ),
    "guard low": (HEAD + "[guard]\nlow = 0.7", "guard.low: this must be a probability between 0 and 0.5, such as 0.05"),
    "guard high": (HEAD + "[guard]\nhigh = 95", "guard.high: this must be a probability between 0.5 and 1, such as 0.95"),
    "guard nan": (HEAD + "[guard]\nhigh = nan", "guard.high: this must be a probability"),
    "guard misspelt": (HEAD + "[guard]\nlo = 0.1", "guard.lo: there is no such key. Did you mean “low”?"),
    "conditions is a list": (HEAD + "[[conditions]]\nrh_percent = 3", "conditions: this must be a table"),
    "humidity out of range": (
        HEAD + "[conditions]\nrh_percent = 145",
        "conditions.rh_percent: Room humidity must be between 0 % and 100 %; 145 %",
    ),
    "humidity is a length": (HEAD + '[conditions]\nrh_percent = "45 mm"', "is a length, but this is a percentage"),
    "temperature infinite": (HEAD + "[conditions]\ntemp_c = inf", "conditions.temp_c: This number is not finite"),
    "walls is a table": (HEAD + "[walls]\nname = 3", "walls: this must be at most 2000 tables; write [[walls]]"),
    "wall without name": (HEAD + "[[walls]]\nwidth_mm = 3000", "walls[0].name: this is missing"),
    "wall twice": (WALL + '[[walls]]\nname = "north"', "walls[1].name: “north” is there twice"),
    "wall key misspelt": (WALL + "widht_mm = 3000", "walls[0].widht_mm: there is no such key. Did you mean “width_mm”?"),
    "wall in the wrong unit": (WALL + 'width_mm = "3 kg"', "walls[0].width_mm: “3 kg” is a weight, but this is a length"),
    "wall too wide": (WALL + 'width_mm = "3 km"', "walls[0].width_mm: “3 km” has a unit"),
    "wall in metres": (WALL + "width_mm = 3.5", "Wall width must be between 100 mm and 200,000 mm; 3.5 mm was given. Check the unit."),
    "wall is a list": (WALL + "width_mm = [3000]", "walls[0].width_mm: A number or a text is needed here"),
    "wall with ±": (WALL + 'width_mm = "3000 +/- 5"', "walls[0].width_mm: a venue's figures are taken as exact"),
    "wall width true": (WALL + "width_mm = true", "walls[0].width_mm: A number or a text is needed here"),
    "walkway in quotes": (WALL + 'walkway = "yes"', "walls[0].walkway: this must be true or false, without quotes"),
    "build unknown": (WALL + 'build = "bricks"', "plasterboard-on-studs, brick, concrete, wood, glass, rail, other. Did you mean “brick”?"),
    "build is a list": (WALL + 'build = ["brick"]', "walls[0].build: this must be one of"),
    "frame without size": (HEAD + '[[frames]]\nname = "A3"', "frames[0].width_mm: this is missing; give the inner size"),
    "frame twice": (FRAME + '[[frames]]\nname = "A3"\nwidth_mm = 1\nheight_mm = 1', "frames[1].name: “A3” is there twice"),
    "frame negative": (
        HEAD + '[[frames]]\nname = "A"\nwidth_mm = -3\nheight_mm = 9',
        "must be above 0 and at most 20,000 mm; −3 mm was given",
    ),
    "frame huge": (HEAD + '[[frames]]\nname = "A"\nwidth_mm = "42 m"\nheight_mm = 9', "frames[0].width_mm: this must be above 0"),
    "frame key misspelt": (FRAME + "cuont = 2", "frames[0].cuont: there is no such key. Did you mean “count”?"),
    "frame count": (FRAME + "count = 1.5", "frames[0].count: this must be a whole number from 0 to 10000"),
    "frame glazing": (FRAME + 'glazing = "acryl"', "Did you mean “acrylic”?"),
    "window too large": (
        FRAME + "window_width_mm = 400",
        "frames[0].window_width_mm: the window must fit inside the frame, at most 297 mm",
    ),
    "no toml": ("name: hall", "x.toml: this is no TOML"),
    "key twice": (HEAD + HEAD, "this is no TOML"),
}


@pytest.mark.parametrize(("text", "sentence"), BAD.values(), ids=BAD)
def test_a_bad_venue_is_refused_with_file_key_and_what_is_right(text: str, sentence: str, catalogue: Catalogue) -> None:
    with pytest.raises(VenueError) as refused:
        venue_from(text.encode(), catalogue.schema, "x.toml")
    assert sentence in str(refused.value)
    assert all(line.startswith("x.toml: ") for line in str(refused.value).splitlines())


def test_every_fault_of_every_file_is_named_at_once(catalogue: Catalogue, tmp_path: Path) -> None:
    one, two, good = tmp_path / "one.toml", tmp_path / "two.toml", tmp_path / "good.toml"
    one.write_text(
        'name = "one"\npacks = ["nosuch", "size"]\nretention_days = 0\n[limits]\n'
        '"size.widest_mm" = {value = "3 kg", reason = "because"}\n"size.wide_mm" = {value = 3, reason = "because"}\n'
    )
    two.write_text('name = "two"\n[limits]\n"size.widest_mm" = {value = "90 km", reason = "because"}\n')
    good.write_text('name = "good"')
    with pytest.raises(VenueError) as refused:
        load_venues([one, good, two, tmp_path / "gone.toml"], catalogue)
    told = [line.split(": ", 2) for line in str(refused.value).splitlines()]
    assert [(Path(line[0]).name, line[1]) for line in told] == [
        ("one.toml", "retention_days"),
        ("one.toml", "packs"),
        ("one.toml", 'limits."size.widest_mm"'),
        ("one.toml", 'limits."size.wide_mm"'),
        ("two.toml", 'limits."size.widest_mm"'),
        ("gone.toml", "this venue file cannot be read"),
    ]
    assert [one.name for one in load_venues([good], catalogue)] == ["good"]


def test_every_fault_is_named_at_once(catalogue: Catalogue) -> None:
    text = WALL + 'width_mm = 3\nbuild = "brik"\n[guard]\nlow = 2\n[[frames]]\nname = ""\n'
    with pytest.raises(VenueError) as refused:
        venue_from(text.encode(), catalogue.schema, "x.toml")
    keys = {line.split(": ")[1] for line in str(refused.value).splitlines()}
    assert keys == {"walls[0].width_mm", "walls[0].build", "guard.low", "frames[0].name", "frames[0].width_mm", "frames[0].height_mm"}


BINDING = {
    "unknown pack": (HEAD + 'packs = ["sise"]', "pack “sise” is not installed (installed: size). Did you mean “size”?"),
    "unknown limit": (HEAD + '[limits]\n"size.widest" = { value = 9, reason = "small" }', "Did you mean “size.widest_mm”?"),
    "limit in a wrong unit": (
        HEAD + '[limits]\n"size.widest_mm" = { value = "9 kg", reason = "small" }',
        "is a weight, but this is a length",
    ),
    "limit out of range": (HEAD + '[limits]\n"size.widest_mm" = { value = "9 m", reason = "large" }', "must be between 100 mm and 5000 mm"),
    "limit infinite": (HEAD + '[limits]\n"size.widest_mm" = { value = inf, reason = "large" }', "not finite"),
}


@pytest.mark.parametrize(("text", "sentence"), BINDING.values(), ids=BINDING)
def test_what_the_packs_do_not_have_is_refused_when_bound(text: str, sentence: str, catalogue: Catalogue) -> None:
    venue = venue_from(text.encode(), catalogue.schema, "x.toml")
    with pytest.raises(VenueError) as refused:
        Ruleset(catalogue, venue)
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b'name = "\xe4"', "byte 8 is not UTF-8"),
        (b"#" * (MOST_BYTES + 1), "larger than 1,000,000 bytes"),
        (b"a = " + b"[" * 100_000, "TOML|nested too deeply"),
    ],
    ids=["latin-1", "large", "deep"],
)
def test_a_file_that_is_no_venue_at_all(content: bytes, sentence: str, tmp_path: Path, catalogue: Catalogue) -> None:
    file = tmp_path / "v.toml"
    file.write_bytes(content)
    with pytest.raises(VenueError, match=sentence) as refused:
        load_venue(file, catalogue.schema)
    assert str(refused.value).startswith(f"{file}: ")


def test_a_file_that_is_not_there(tmp_path: Path, catalogue: Catalogue) -> None:
    with pytest.raises(VenueError, match=r"gone\.toml: this venue file cannot be read: no such file or directory"):
        load_venue(tmp_path / "gone.toml", catalogue.schema)
    with pytest.raises(VenueError, match="cannot be read"):
        load_venue(tmp_path, catalogue.schema)


def test_rates_are_read_without_losing_a_digit(catalogue: Catalogue) -> None:
    text = HEAD + '[[rates]]\ncurrency = "USD"\nworth = "0.9200000000000000001"\nof = "EUR"\n'
    (rate,) = venue_from(text.encode(), catalogue.schema, "x").rates or ()
    assert (rate.currency, rate.worth, rate.of) == ("USD", Decimal("0.9200000000000000001"), "EUR")
    assert rate.name == "1 USD = 0.9200000000000000001 EUR"


@pytest.mark.parametrize(
    ("rates", "said"),
    [
        ('[[rates]]\ncurrency = "usd"\nworth = "1"\nof = "EUR"', r"rates\[0\]\.currency: this must be the three letters"),
        ('[[rates]]\ncurrency = "USD"\nworth = "1"\nof = "USD"', r"rates\[0\]\.of: this must be another currency"),
        ('[[rates]]\ncurrency = "USD"\nworth = 0.92\nof = "EUR"', r"rates\[0\]\.worth: this must be a number above 0 in quotes"),
        ('[[rates]]\ncurrency = "USD"\nworth = "-1"\nof = "EUR"', r"rates\[0\]\.worth: "),
        ('[[rates]]\ncurrency = "USD"\nworth = "much"\nof = "EUR"', r"rates\[0\]\.worth: "),
        (
            '[[rates]]\ncurrency = "USD"\nworth = 2\nof = "EUR"\n[[rates]]\ncurrency = "EUR"\nworth = "0.5"\nof = "USD"',
            r"rates\[1\]: EUR and USD are there twice",
        ),
    ],
)
def test_bad_rates(rates: str, said: str, catalogue: Catalogue) -> None:
    with pytest.raises(VenueError, match=said):
        venue_from((HEAD + rates).encode(), catalogue.schema, "x")


_NAMES = st.sampled_from(
    [
        "name",
        "version",
        "title",
        "packs",
        "limits",
        "guard",
        "conditions",
        "walls",
        "frames",
        "value",
        "reason",
        "low",
        "width_mm",
        "height_mm",
        "build",
        "walkway",
        "count",
        "glazing",
        "window_width_mm",
        "rh_percent",
        "size.widest_mm",
        "rates",
        "currency",
        "worth",
        "of",
        "stray",
    ]
)
_VALUES = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=9), st.dates(), st.sampled_from(["A3", "3 m", "brick"])
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(_NAMES, inner, max_size=5)),
    max_leaves=25,
)


@given(st.dictionaries(_NAMES, _VALUES, max_size=9))
@settings(max_examples=200, deadline=None)
def test_whatever_a_venue_says_it_is_read_or_refused_in_sentences(content: dict[str, Any]) -> None:
    reader = VenueReader(SCHEMA)
    reader.read(content)
    assert all(key and sentence.endswith((".", "?")) for key, sentence in reader.faults)
