"""The contract: all that a rule pack imports. Version ``API``; everything here is kept stable for pack authors."""

from hangworthy.contract.cautions import CAUTION_BARS, CAUTION_GLASS, CAUTION_LAW, CAUTION_MOULD, CAUTION_WEIGHT
from hangworthy.contract.check import Check, Undecided, at_least, at_most, holds, show, within
from hangworthy.contract.effect import Effect, Outcome, Stage, State
from hangworthy.contract.facts import Ask, Four, Pair, Section, ask
from hangworthy.contract.finding import Evaluation, Finding, LimitUsed, PackUsed, Question, VenueUsed, WorkAnswer
from hangworthy.contract.fitting import FrameFit, frame_fits
from hangworthy.contract.hooks import ENTRY_POINT_GROUP, PROJECT, HookSpecs, hookimpl
from hangworthy.contract.limits import Limit, Limits, NoLimits, limit
from hangworthy.contract.means import Means
from hangworthy.contract.pack import API, RulePack
from hangworthy.contract.quantities import Measured, QuantityError, parse_quantity, read_quantity
from hangworthy.contract.rule import FactRef, Given, Rule, Where, Words, fact, given, rule, set_rule, where
from hangworthy.contract.source import COMMON_PRACTICE, OWN_POLICY, Source, published
from hangworthy.contract.venue import VENUE_LISTS, ExchangeRate, Guard, Override, RoomKind, StockFrame, WallBuild, WallFacts
from hangworthy.contract.work import SHARED_SECTIONS, GlazingMaterial, Kind, Process, Technique, WorkFacts

__all__ = [
    "API",
    "CAUTION_BARS",
    "CAUTION_GLASS",
    "CAUTION_LAW",
    "CAUTION_MOULD",
    "CAUTION_WEIGHT",
    "COMMON_PRACTICE",
    "ENTRY_POINT_GROUP",
    "OWN_POLICY",
    "PROJECT",
    "SHARED_SECTIONS",
    "VENUE_LISTS",
    "Ask",
    "Check",
    "Effect",
    "Evaluation",
    "ExchangeRate",
    "FactRef",
    "Finding",
    "Four",
    "FrameFit",
    "Given",
    "GlazingMaterial",
    "Guard",
    "HookSpecs",
    "Kind",
    "Limit",
    "LimitUsed",
    "Limits",
    "Means",
    "Measured",
    "NoLimits",
    "Outcome",
    "Override",
    "PackUsed",
    "Pair",
    "Process",
    "QuantityError",
    "Question",
    "RoomKind",
    "Rule",
    "RulePack",
    "Section",
    "Source",
    "Stage",
    "State",
    "StockFrame",
    "Technique",
    "Undecided",
    "VenueUsed",
    "WallBuild",
    "WallFacts",
    "Where",
    "Words",
    "WorkAnswer",
    "WorkFacts",
    "ask",
    "at_least",
    "at_most",
    "fact",
    "frame_fits",
    "given",
    "holds",
    "hookimpl",
    "limit",
    "parse_quantity",
    "published",
    "read_quantity",
    "rule",
    "set_rule",
    "show",
    "where",
    "within",
]
