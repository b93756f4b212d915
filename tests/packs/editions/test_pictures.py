"""Fingerprints of a real picture: what the distance must bring together, and what it must not.

The picture is drawn here; its fingerprints are those of an independent library (imagehash, cosine hash of 8 × 8).
"""

import io
import random

import imagehash
import pytest
from PIL import Image, ImageDraw, ImageEnhance, ImageOps

from hangworthy_editions.formulas import hamming
from hangworthy_editions.images import images

DISTANCE = 8


def drawn(start: int) -> Image.Image:
    """An invented picture: fields, discs and lines, the more on the left, so that it is nothing like its mirror."""
    chance = random.Random(start)
    picture = Image.new("RGB", (640, 480), tuple(chance.randrange(60, 200) for _ in range(3)))
    brush = ImageDraw.Draw(picture)
    for _ in range(14):
        x, y = chance.randrange(0, 420), chance.randrange(0, 400)
        w, h = chance.randrange(60, 260), chance.randrange(50, 200)
        colour = tuple(chance.randrange(256) for _ in range(3))
        (brush.rectangle if chance.random() < 0.5 else brush.ellipse)((x, y, x + w, y + h), fill=colour)
    for _ in range(6):
        brush.line([(chance.randrange(640), chance.randrange(480)) for _ in range(2)], fill=(20, 20, 30), width=9)
    return picture


def recompressed(picture: Image.Image, quality: int) -> Image.Image:
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality)
    return Image.open(io.BytesIO(buffer.getvalue()))


def cropped(picture: Image.Image, share: float) -> Image.Image:
    w, h = picture.size
    return picture.crop((int(w * share), int(h * share), w - int(w * share), h - int(h * share)))


def fingerprint(picture: Image.Image) -> str:
    return str(imagehash.phash(picture))


def distance(one: Image.Image, other: Image.Image) -> int:
    found = hamming(int(fingerprint(one), 16), int(fingerprint(other), 16))
    assert found == imagehash.phash(one) - imagehash.phash(other)
    return found


SAME = {
    "resized": lambda picture: picture.resize((320, 240)),
    "enlarged": lambda picture: picture.resize((1280, 960)),
    "recompressed": lambda picture: recompressed(picture, 30),
    "brightened": lambda picture: ImageEnhance.Brightness(picture).enhance(1.15),
    "darkened and softened": lambda picture: ImageEnhance.Contrast(ImageEnhance.Brightness(picture).enhance(0.85)).enhance(0.9),
    "grey": ImageOps.grayscale,
    "trimmed by a hundredth": lambda picture: cropped(picture, 0.005),
}
OTHER = {
    "mirrored": ImageOps.mirror,
    "upside down": ImageOps.flip,
    "turned": lambda picture: picture.rotate(90, expand=True),
    "a detail": lambda picture: cropped(picture, 0.25),
    "negative": ImageOps.invert,
}


@pytest.mark.parametrize("start", range(6))
@pytest.mark.parametrize("name", SAME)
def test_the_same_picture_is_brought_together(name: str, start: int) -> None:
    picture = drawn(start)
    assert distance(picture, SAME[name](picture)) <= DISTANCE


@pytest.mark.parametrize("start", range(6))
@pytest.mark.parametrize("name", OTHER)
def test_another_picture_is_not(name: str, start: int) -> None:
    picture = drawn(start)
    assert distance(picture, OTHER[name](picture)) > DISTANCE


def test_no_two_of_many_pictures_are_brought_together() -> None:
    pictures = [drawn(start) for start in range(40)]
    hashes = [int(fingerprint(picture), 16) for picture in pictures]
    near = [(i, j) for i in range(40) for j in range(i) if hamming(hashes[i], hashes[j]) <= DISTANCE]
    assert near == []


@pytest.mark.parametrize("start", range(6))
def test_a_mirrored_copy_is_found_by_the_second_fingerprint_alone(start: int) -> None:
    picture = drawn(start)
    copy = recompressed(ImageOps.mirror(picture), 60)
    own, mirrored, theirs = fingerprint(picture), fingerprint(ImageOps.mirror(picture)), fingerprint(copy)
    none = (None, None)
    assert images(("a", "b"), none, none, none, (own, theirs), none, DISTANCE).alone(0)
    assert not images(("a", "b"), none, none, none, (own, theirs), (mirrored, None), DISTANCE).alone(0)
    assert not images(("a", "b"), none, none, none, (theirs, own), (None, mirrored), DISTANCE).alone(1)


def test_blank_pictures_tell_nothing() -> None:
    white, cream = Image.new("RGB", (300, 200), "white"), Image.new("RGB", (200, 300), (250, 245, 230))
    prints = (fingerprint(white), fingerprint(cream))
    assert images(("a", "b"), (None, None), (None, None), (None, None), prints, (None, None), DISTANCE).alone(0)
