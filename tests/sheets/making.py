"""Sheets for tests: one canvas and two sheets of paper at an invented venue, with the packs that are installed."""

import functools
from typing import Any

import msgspec

from hangworthy.contract import Stage, StockFrame
from hangworthy.contract.languages import LanguageCode
from hangworthy.discovery import discover
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.sheets.again import Again, told
from hangworthy.sheets.content import Told, chosen
from hangworthy.sheets.document import Paper, document

CANVAS: dict[str, Any] = {
    "ref": "tide-7", "title": "Low tide, seven", "artist_name": "Ilse Morrow-Tand", "kind": "stretched-canvas", "technique": "oil",
    "width_mm": 1680, "height_mm": "90 cm", "mass_kg": "4.2 kg", "framed": False, "wall_name": "lobby", "hang_from": "2026-01-12",
    "canvas": {
        "fabric": "linen", "corner_gaps_mm": [0, 0, 9, 0], "billow_mm": 9, "edge_bow_mm": [1, 0, 1, 0], "horizontal_braces": 0,
        "vertical_braces": 0, "corner_brace_mm": 0, "bar_condition": ["sound"], "age_days": 12, "edge_faults": ["proud-staples"],
        "keyed": True, "bar_width_mm": 50, "bar_depth_mm": 20,
    },
    "fittings": {"kind": "d-rings", "drop_mm": 120}, "hanging": {"points": 2, "hook_spacing_mm": 900},
    "condition": {"faults": ["dusty"]},
}  # fmt: skip
CROPPED: dict[str, Any] = {
    "ref": "chart-2", "title": "Chart room", "kind": "work-on-paper", "width_mm": 625, "height_mm": 920, "framed": False,
    "condition": {"faults": ["mould"]},
    "paper": {"tube_diameter_mm": 0, "crop_consent_mm": [10, 15, 10, 15], "free_margin_mm": [30, 14, 45, 14]},
}  # fmt: skip
MATTED: dict[str, Any] = {"ref": "study-3", "kind": "work-on-paper", "width_mm": 500, "height_mm": 350, "framed": False}
UNSURE: dict[str, Any] = {
    "ref": "ebb-4", "kind": "panel", "framed": False,
    "as_written": {"dimensions": "24.5 x 36 in gallery, framed 30 x 40 in", "medium": "Oil and acrylic on board"},
}  # fmt: skip
FRAMES = (
    StockFrame(name="A2", width_mm=420, height_mm=594),
    StockFrame(name="600 × 900", width_mm=600, height_mm=900, rebate_depth_mm=15),
)


@functools.cache
def catalogue() -> Catalogue:
    return build_catalogue(*discover())


def venue() -> Venue:
    wall = catalogue().schema.wall
    return Venue(name="lantern", title="Lantern House", walls={"lobby": wall(width_mm=6400.0, height_mm=3200.0)}, frames=FRAMES)


@functools.cache
def evaluator() -> Evaluator:
    return Evaluator(Ruleset(catalogue(), venue()))


def told_of(works: list[dict[str, Any]], language: LanguageCode = "en", stage: Stage = Stage.ARRIVAL) -> Told:
    speaking = evaluator().speaking(language)
    read = [msgspec.convert(work, catalogue().schema.work) for work in works]
    answer = speaking.evaluate(read, stage)
    answer.evaluated_at = "2025-11-25T12:00:00Z"
    return told(answer, works, Again(speaking, read, answer), language)


def html_of(works: list[dict[str, Any]], language: LanguageCode = "en", paper: Paper = "a4", stage: Stage = Stage.ARRIVAL) -> str:
    made = told_of(works, language, stage)
    return document(made, chosen(made, None), language, paper).html
