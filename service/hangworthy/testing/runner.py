"""Running cases: a pack alone, at a venue made of what the case says."""

from typing import Any, NamedTuple

import msgspec

from hangworthy.contract import Evaluation, Finding, Override, RulePack, read_quantity
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.discovery import installed_pack
from hangworthy.engine.catalogue import Catalogue, build_catalogue
from hangworthy.engine.evaluate import Evaluator
from hangworthy.engine.ruleset import Ruleset, Venue
from hangworthy.engine.schema import Schema
from hangworthy.testing.cases import Case


class _Built(NamedTuple):
    """A pack alone, and its rules bound to the venues of its cases, by language and by what a case says of its venue."""

    pack: RulePack
    catalogue: Catalogue
    rulesets: dict[tuple[str, bytes], Ruleset]


# A catalogue takes longer to build, and rules longer to bind, than a case to run. Found by identity, and the pack is kept so that its
# identity stays its own. Neither changes once built; an evaluator may remember, so that each case has its own.
_built: list[_Built] = []
_KEPT, _KEPT_RULESETS = 16, 64


def _built_of(pack: RulePack) -> _Built:
    for known in _built:
        if known.pack is pack:
            return known
    _built.append(_Built(pack, build_catalogue([installed_pack(pack)]), {}))
    del _built[:-_KEPT]
    return _built[-1]


def catalogue_of(pack: RulePack) -> Catalogue:
    """Return the catalogue of a pack alone. Raises PackFaults with everything that is wrong with it."""
    return _built_of(pack).catalogue


def ruleset_of(pack: RulePack, case: Case, language: str = DEFAULT_LANGUAGE) -> Ruleset:
    """Return the rules of a pack alone at the venue of a case. Raises VenueError when the case names a limit that is not there."""
    built = _built_of(pack)
    key = language, msgspec.json.encode((case.limits, case.wall, case.walls, case.frames, case.rates))
    found = built.rulesets.get(key)
    if found is None:
        found = built.rulesets[key] = Ruleset(built.catalogue, venue_of(pack, case, built.catalogue.schema), language)
        if len(built.rulesets) > _KEPT_RULESETS:
            del built.rulesets[next(iter(built.rulesets))]
    return found


def evaluate_case(pack: RulePack, case: Case) -> Evaluation:
    """Return the whole answer to a case."""
    ruleset = ruleset_of(pack, case)
    works = [msgspec.convert(facts, ruleset.schema.work) for facts in case.facts()]
    return Evaluator(ruleset).evaluate(works, case.stage)


def findings_of(pack: RulePack, case: Case) -> list[Finding]:
    """Return the finding of the case's rule for each work. Raises AssertionError where the rule has none."""
    return [_finding(pack, case, answer.findings) for answer in evaluate_case(pack, case).works]


def run_case(pack: RulePack, case: Case) -> Finding:
    """Return the finding of the case's rule for its (first) work."""
    return findings_of(pack, case)[0]


def check_case(pack: RulePack, case: Case) -> None:
    """Raise AssertionError listing everything that differs from what the case expects."""
    wrong = wrong_with(pack, case)
    if wrong:
        raise AssertionError("\n".join(f"{pack.name}.{case}: {text}" for text in wrong))


def wrong_with(pack: RulePack, case: Case) -> list[str]:
    """Return everything that differs from what the case expects."""
    try:
        answer = evaluate_case(pack, case)
        findings = [_finding(pack, case, one.findings) for one in answer.works]
    except (AssertionError, ValueError) as error:
        return [f"cannot be run: {error}"]
    states = tuple(finding.state for finding in findings)
    wrong = _unlike("state", [state.value for state in states], [state.value for state in case.states()])
    want, first, work = case.expect, findings[0], answer.works[0]
    for name, got, expected in (
        ("effect", first.effect, want.effect),
        ("effect_at_worst", first.effect_at_worst, want.effect_at_worst),
        ("due", first.due, want.due),
        ("outcome", work.outcome, want.outcome),
        ("at_worst", work.at_worst, want.at_worst),
        ("missing", sorted(first.missing), None if want.missing is None else sorted(want.missing)),
    ):
        if expected is not None:
            wrong += _unlike(name, got, expected)
    return wrong + _figures(findings, case)


def _figures(findings: list[Finding], case: Case) -> list[str]:
    """Compare what was measured, and the probability."""
    want, wrong = case.expect, []
    measured = want.measured if isinstance(want.measured, tuple) else () if want.measured is None else (want.measured,)
    for finding, figure in zip(findings, measured, strict=False):
        wrong += _off("measured", finding.measured, figure, want.tolerance)
    if len(measured) > len(findings):
        wrong.append(f"measured lists {len(measured)} figures for {len(findings)} works")
    if want.probability is not None:
        wrong += _off("probability", findings[0].probability, want.probability, want.probability_tolerance)
    return wrong


def _unlike(name: str, got: Any, expected: Any) -> list[str]:
    return [] if got == expected else [f"{name} is {got}, expected {expected}"]


def _off(name: str, got: float | None, expected: float, tolerance: float) -> list[str]:
    if got is not None and abs(got - expected) <= tolerance:
        return []
    return [f"{name} is {got}, expected {expected} ± {tolerance}"]


def _finding(pack: RulePack, case: Case, findings: list[Finding]) -> Finding:
    """Return the finding that the case is about: of its rule, and of its way of measuring where it names one."""
    code = f"{pack.name}.{case.rule}"
    mine = [finding for finding in findings if finding.rule == code and case.by in ("", finding.by)]
    if not mine:
        ways = sorted({finding.by for finding in findings if finding.rule == code})
        raise AssertionError(f"no finding of {code}{f' by {case.by}; there are: {ways}' if case.by else ''}")
    return mine[0]


def venue_of(pack: RulePack, case: Case, schema: Schema) -> Venue:
    """Return the venue that a case describes."""
    limits = {f"{pack.name}.{name}": Override(value=value, reason="set by the case") for name, value in case.limits.items()}
    conditions = msgspec.convert(_numbers(case.wall, schema), schema.wall) if case.wall else None
    walls = {name: msgspec.convert(_numbers(wall, schema), schema.wall) for name, wall in case.walls.items()}
    return Venue(name="case", limits=limits, conditions=conditions, walls=walls, frames=case.frames, rates=case.rates)


def _numbers(wall: dict[str, Any], schema: Schema) -> dict[str, Any]:
    """Return the conditions with quantities read: a wall's numbers may be text with a unit, as a work's may."""
    read = dict(wall)
    for name, value in wall.items():
        slot = schema.by_path.get(f"wall.{name}")
        if slot is not None and slot.kind == "number" and isinstance(value, str):
            read[name] = read_quantity(value, slot.unit).value
    return read
