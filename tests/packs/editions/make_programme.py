"""Make the demo programme: 200 works by 30 invented artists, with twelve conflicts sown among them.

Run ``python tests/packs/editions/make_programme.py`` to write it again; a test holds the committed file to what this makes. Every name is
invented. What is sown, and which rule finds it where, is in ``CONFLICTS``.
"""

import json
import random
from pathlib import Path
from typing import Any

TARGET = Path(__file__).parents[3] / "service" / "hangworthy" / "demo" / "programme.json"
WORKS, ARTISTS, WITH_LONG_LISTS = 200, 30, 4
FIRST = ("Tamsel", "Orvid", "Liune", "Bredo", "Kessim", "Alvane", "Hurlo", "Minset", "Jorrel", "Pavise")
LAST = ("Quellfen", "Marrowick", "Tosterby")
THINGS = ("Quay", "Ladder", "Orchard", "Signal", "Kiln", "Ferry", "Meadow", "Stair", "Lantern", "Weir", "Gable", "Furrow")
HOURS = ("at first light", "in March", "after rain", "from the train", "half asleep", "with two chairs", "unfinished", "at low water")

# What is sown: the conflict, and each work with the rules that must find it there.
CONFLICTS: dict[str, dict[str, tuple[str, ...]]] = {
    "one number offered twice": {"a05-w3": ("number-taken",), "a05-w6": ("number-taken",)},
    "a print dearer than its painting": {"a06-w3": ("price-order", "price-apart")},
    "a print at the price of its painting": {"a07-w3": ("price-order", "price-apart")},
    "a mirrored copy, nothing declared, dearer than the print": {"a08-w6": ("price-order",)},
    "an undeclared copy, near by fingerprint, at most of the painting's price": {"a09-w6": ("price-apart",)},
    "a painting and its print on the same days": {"a10-w3": ("one-image-one-venue",)},
    "a number beyond the edition": {"a11-w3": ("number-in-edition",)},
    "a total that leaves out the proofs": {"a12-w3": ("total-adds-up",)},
    "two sizes that count as two editions": {
        "a13-w4": ("photographs-counted", "sizes-add-up"),
        "a13-w6": ("photographs-counted", "sizes-add-up"),
    },
    "a later number that is cheaper": {"a14-w6": ("same-edition-same-price",)},
    "a price with a nought too many": {"a02-w5": ("price-in-line",)},
    "an inkjet print of a painting, said to come from a plate": {"a15-w3": ("is-a-print",)},
}


def euros(value: float) -> str:
    """A price as artists set it: in fives."""
    return str(max(15, 5 * round(value / 5)))


class Maker:
    """Makes the works in order, from one source of chance."""

    def __init__(self) -> None:
        self.chance = random.Random(20260)
        self.hashes: list[int] = []
        self.works: dict[str, dict[str, Any]] = {}

    def fingerprint(self) -> str:
        """Return a new picture's fingerprint: 32 of 64 bits, far from all others."""
        while True:
            value = sum(1 << bit for bit in self.chance.sample(range(64), 32))
            if all((value ^ other).bit_count() > 14 for other in self.hashes):
                self.hashes.append(value)
                return f"{value:016x}"

    def near(self, text: str, bits: int) -> str:
        """Return a fingerprint so many bits off, as another scan gives it."""
        value = int(text, 16)
        for bit in self.chance.sample(range(64), bits):
            value ^= 1 << bit
        return f"{value:016x}"

    def add(self, artist: int, number: int, kind: str, size: tuple[int, int], price: str, **facts: Any) -> dict[str, Any]:
        ref = f"a{artist:02}-w{number}"
        title = f"{self.chance.choice(THINGS)} {self.chance.choice(HOURS)}, {number}"
        work = {
            "ref": ref, "title": title, "artist_ref": f"a{artist:02}", "kind": kind, "width_mm": size[0], "height_mm": size[1],
            "price": price, "currency": "GBP" if artist == 30 else "EUR", **facts,
        }  # fmt: skip
        work["artist_name"] = f"{FIRST[(artist - 1) % 10]} {LAST[(artist - 1) // 10]}"
        self.works[ref] = work
        return work

    def painting(self, artist: int, number: int) -> dict[str, Any]:
        width, height = self.chance.randrange(300, 1300, 10), self.chance.randrange(300, 1300, 10)
        level = 0.016 + 0.002 * (artist % 5)
        price = level * (width * height) ** 0.8 * (1 + self.chance.uniform(-0.08, 0.08))
        editions = {"fingerprint": self.fingerprint(), "mirror_fingerprint": self.fingerprint()}
        return self.add(artist, number, self.chance.choice(("stretched-canvas", "panel")), (width, height), euros(price), editions=editions)

    def long_list(self, artist: int) -> None:
        for number in range(1, 10):
            self.painting(artist, number)

    def short_list(self, artist: int) -> None:
        """Two paintings, a print and a reproduction of the first, a photograph, and a print of its own."""
        first = self.painting(artist, 1)
        self.painting(artist, 2)
        printed = first["editions"]["fingerprint"]
        whole = float(first["price"])
        edition = {
            "basis": "hs-9702", "plate": "by-hand-by-artist", "edition_size": 25, "number": artist % 20 + 1, "edition_ref": "first",
            "image_of": first["ref"], "fingerprint": self.near(printed, 3), "signature": "by-hand",
        }  # fmt: skip
        self.add(artist, 3, "original-print", (400, 300), euros(whole * 0.2), process="linocut", editions=edition)
        photo = {
            "basis": "eu-vat-annex-ix", "photo_points": ["taken-by-artist", "printed-under-supervision"], "signature": "by-hand",
            "edition_size": 20, "number": artist % 20 + 1, "image_of": "window", "fingerprint": self.fingerprint(),
        }  # fmt: skip
        self.add(artist, 4, "photograph", (450, 300), euros(180 + artist), process="inkjet", editions=photo)
        copy = {"image_of": first["ref"], "fingerprint": self.near(printed, 2)}
        self.add(artist, 5, "reproduction", (500, 400), euros(min(whole * 0.05, 30)), process="offset", editions=copy)

    def sixth(self, artist: int) -> dict[str, Any]:
        """One more print, of an edition and an image of its own."""
        edition = {
            "basis": "artist-statement", "from_existing_work": False, "edition_size": 30, "number": artist % 25 + 1,
            "edition_ref": "second", "fingerprint": self.fingerprint(), "signature": "by-hand",
        }  # fmt: skip
        return self.add(artist, 6, "original-print", (300, 400), euros(90 + 2 * artist), process="screenprint", editions=edition)


def sow(maker: Maker) -> None:
    """Put the conflicts in, one artist each."""
    works = maker.works
    clones = {"a05-w6": "a05-w3", "a13-w6": "a13-w4", "a14-w6": "a14-w3"}
    for ref, of in clones.items():
        works[ref] = json.loads(json.dumps(works[of])) | {"ref": ref}
    works["a06-w3"]["price"] = euros(float(works["a06-w1"]["price"]) * 1.3)
    works["a07-w3"]["price"] = works["a07-w1"]["price"]
    first = works["a08-w1"]
    dearer = euros(float(works["a08-w3"]["price"]) + 40)
    mirrored = {"fingerprint": maker.near(first["editions"]["mirror_fingerprint"], 4)}
    maker.add(8, 6, "reproduction", (500, 400), dearer, process="offset", editions=mirrored)
    near = {
        "basis": "print-council-1961", "edition_size": 12, "number": 2, "signature": "by-hand",
        "council_points": ["artist-made-image-for-print", "printed-by-or-for-artist", "artist-approved"],
        "fingerprint": maker.near(works["a09-w2"]["editions"]["fingerprint"], 8),
    }  # fmt: skip
    maker.add(9, 6, "original-print", (300, 300), euros(float(works["a09-w2"]["price"]) * 0.7), process="etching", editions=near)
    works["a10-w1"] |= {"hang_from": "2027-01-11", "hang_until": "2027-06-30"}
    works["a10-w3"] |= {"hang_from": "2027-06-01", "hang_until": "2027-09-30"}
    works["a11-w3"]["editions"]["number"] = 27
    works["a12-w3"]["editions"] |= {"artist_proofs": 2, "printer_proofs": 1, "hors_commerce": 0, "total_stated": 25}
    works["a13-w4"]["editions"]["image_total"] = 20
    works["a13-w6"] |= {"width_mm": 900, "height_mm": 600}
    works["a13-w6"]["editions"] |= {"edition_size": 15, "number": 3, "image_total": 15}
    works["a14-w6"]["editions"]["number"] = 24
    works["a14-w6"]["price"] = euros(float(works["a14-w3"]["price"]) * 0.8)
    works["a02-w5"]["price"] += "0"
    works["a15-w3"]["process"] = "inkjet"


def look_alikes(maker: Maker) -> None:
    """Put in what only looks like a conflict, and must not be told as one."""
    works = maker.works
    works["a16-w6"] = json.loads(json.dumps(works["a16-w3"])) | {"ref": "a16-w6"}  # another copy of one edition, at its price
    works["a16-w6"]["editions"]["number"] = 25
    works["a17-w1"] |= {"hang_from": "2027-01-11", "hang_until": "2027-03-31"}  # the print hangs when the painting is gone
    works["a17-w3"] |= {"hang_from": "2027-04-01", "hang_until": "2027-06-30"}
    works["a18-w4"]["editions"]["image_total"] = 30  # thirty is not more than thirty
    works["a19-w3"]["price"] = euros(float(works["a19-w1"]["price"]) / 2 - 5)  # just below a half
    works["a20-w3"]["editions"] |= {"artist_proofs": 2, "printer_proofs": 0, "hors_commerce": 0, "total_stated": 27}
    works["a21-w3"]["editions"]["number"] = 25  # the last of its edition
    works["a22-w4"]["editions"]["fingerprint"] = maker.near(works["a22-w2"]["editions"]["fingerprint"], 11)  # another picture
    works["a23-w3"] |= {"process": "monotype"}
    works["a23-w3"]["editions"] |= {"edition_size": 1, "number": 1}
    works["a23-w3"]["price"] = euros(float(works["a23-w1"]["price"]) * 1.2)  # unique, so no copy of the painting
    for ref, fact in (("a24-w3", "price"), ("a25-w4", "price"), ("a26-w3", "currency"), ("a27-w2", "price"), ("a28-w5", "price")):
        del works[ref][fact]  # half-filled forms
    for ref, fact in (("a24-w4", "number"), ("a25-w3", "basis"), ("a26-w5", "image_of"), ("a29-w3", "edition_ref"), ("a27-w3", "plate")):
        del works[ref]["editions"][fact]


def programme() -> bytes:
    """Return the programme as a request."""
    maker = Maker()
    for artist in range(1, ARTISTS + 1):
        (maker.long_list if artist <= WITH_LONG_LISTS else maker.short_list)(artist)
    sow(maker)
    look_alikes(maker)
    for artist in [*range(ARTISTS, 0, -1)]:
        if len(maker.works) < WORKS and artist > WITH_LONG_LISTS and f"a{artist:02}-w6" not in maker.works:
            maker.sixth(artist)
    number = 7
    while len(maker.works) < WORKS:
        maker.painting(20 + number % 10, number)
        number += 1
    rows = [json.dumps(maker.works[ref], ensure_ascii=False) for ref in sorted(maker.works)]
    return ('{"stage": "offer", "works": [\n' + ",\n".join(rows) + "\n]}\n").encode()


if __name__ == "__main__":
    TARGET.write_bytes(programme())
    print(f"wrote {TARGET}")
