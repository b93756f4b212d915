"""The page for the bench: measured values, limits, margins, share used and source, and boxes to fill in at arrival."""

from collections.abc import Sequence
from html import escape

from hangworthy.contract.effect import State
from hangworthy.contract.finding import Finding
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.sheets.content import RuleNotes, ToFind, Told, WorkSheet, margin_of
from hangworthy.sheets.declared import beside, is_of_the_work, said, unit_to_measure
from hangworthy.sheets.page import cautions, definitions, head
from hangworthy.sheets.pictures import figures
from hangworthy.sheets.words import Tongue

MOST_ROWS, MOST_TO_FIND = 30, 16
_BLANKS = ("received", "received_by", "weight", "photographed", "isolated")


def bench_page(told: Told, sheet: WorkSheet, say: Tongue, place: int) -> str:
    """Return the second page of one work."""
    facts = [(say("evaluation"), told.answer.id or say("not_stored")), (say("hangs"), _stay(sheet, say))]
    parts = [
        head(told, sheet, say, say("bench_kicker"), place, "h2"),
        definitions(facts),
        blanks([say(key) for key in _BLANKS]),
        _table(told, sheet, say),
        _to_find_out(sheet, say),
        _also_fine(told, sheet, say),
        figures(sheet.drawings, "coordinator", say),
        _cautions(sheet, say),
        blanks([say("remarks"), say("signature")]),
        f'<p class="safety" id="w{place}-bench-end"><strong>{escape(say("caution"))}:</strong> {escape(say("safety"))}</p>',
    ]
    return f'<section class="page" id="w{place}-bench" data-for="bench" aria-labelledby="w{place}-bench-title">{"".join(parts)}</section>'


def blanks(names: Sequence[str]) -> str:
    """Return lines to write on."""
    return f'<div class="blanks">{"".join(f"<div>{escape(name)}</div>" for name in names)}</div>'


def _stay(sheet: WorkSheet, say: Tongue) -> str:
    first, last = (say.day_of(sheet.sent.get(name)) for name in ("hang_from", "hang_until"))
    return f"{first} {say('until')} {last}" if first and last else first


def _table(told: Told, sheet: WorkSheet, say: Tongue) -> str:
    if not sheet.rows:
        return ""
    heads = [("", "state"), (say("measure"), "measure"), (say("declared"), "num"), (say("limit"), "num"), (say("margin"), "num")]
    heads += [(say("share"), "num"), (say("source"), "from"), (say("arrival"), ""), (say("agrees"), "tick")]
    row = "".join(f'<th scope="col"{_class(name)}>{escape(text)}</th>' for text, name in heads[1:])
    body = "".join(_row(told, one, say) for one in sheet.rows[:MOST_ROWS])
    more = len(sheet.rows) - MOST_ROWS
    rest = f'<p class="note">{escape(say("more", count=more))}</p>' if more > 0 else ""
    return (
        f'<h3>{escape(say("bench"))}</h3><div class="wide" tabindex="0" role="group" aria-label="{escape(say("bench"))}"><table>'
        f"<caption>{escape(say('table_about'))}</caption><thead><tr><td></td>{row}</tr></thead><tbody>{body}</tbody></table></div>{rest}"
    )


def _class(name: str) -> str:
    return f' class="{name}"' if name else ""


def measure_of(told: Told, finding: Finding, say: Tongue) -> str:
    """Return what is measured, as the rule names it, else the question that it answers; and the way, if the language has a word for it."""
    text = told.rules.get((finding.rule, finding.by), RuleNotes()).measure or finding.question
    way = finding.by if say.code == DEFAULT_LANGUAGE else finding.by_label
    return f"{text} ({way})" if way else text


def _row(told: Told, finding: Finding, say: Tongue) -> str:
    bad = ' class="bad"' if finding.state in (State.UNMET, State.ERROR) else ""
    source = _cell("src", say("source"), escape(source_of(finding, say)))
    return (
        f'<tr data-rule="{escape(finding.rule)}"{bad}><td class="state">{say(f"state.{finding.state}")}</td>'
        f'<th scope="row">{escape(measure_of(told, finding, say))}{_beside(told, finding, say)}</th>'
        f"{_values(told, finding, say)}{source}{_arrival(told, finding, say)}</tr>"
    )


def _beside(told: Told, finding: Finding, say: Tongue) -> str:
    """Return what was measured, under what is made of it: where the box asks for it, and where something is wrong."""
    if finding.measured is None or (finding.state is State.MET and unit_to_measure(told, finding) == finding.unit):
        return ""
    text = beside(told, finding, say)
    return f' <span class="read">{escape(text)}</span>' if text else ""


def _values(told: Told, finding: Finding, say: Tongue) -> str:
    """Return the cells for what was declared, its limit, its margin and its share; one for all where there is no figure."""
    if finding.measured is None:
        marks = {State.BORDERLINE: say("close"), State.ERROR: say("failed"), State.UNMET: say("not_in_order")}
        text = f"{marks.get(finding.state, say('in_order'))}. {said(told, finding, say)}".removesuffix(". ")
        return f'<td class="said" colspan="4" data-name="{escape(say("declared"))}">{escape(text)}</td>'
    margin = margin_of(finding)
    return "".join(
        (
            _cell("num", say("declared"), escape(say.quantity(finding.measured, finding.unit))),
            _cell("num", say("limit"), escape(_limit(finding, say))),
            _cell("num", say("margin"), "" if margin is None else ("+" if margin > 0 else "") + escape(say.quantity(margin, finding.unit))),
            _cell("num", say("share"), _share(finding, say)),
        )
    )


def _arrival(told: Told, finding: Finding, say: Tongue) -> str:
    """Return the box for the value of today and that to tick; nothing where it is not the work that is measured."""
    if not is_of_the_work(told, finding):
        return '<td class="none" colspan="2"></td>'
    unit = escape(say.unit(unit_to_measure(told, finding)))
    return f'{_cell("fill", say("arrival"), unit)}<td class="tick"><span class="box"></span></td>'


def _cell(kind: str, name: str, content: str) -> str:
    """Return a cell of HTML. On a narrow screen its heading is shown in it."""
    return f'<td class="{kind}" data-name="{escape(name)}">{content}</td>'


def _limit(finding: Finding, say: Tongue) -> str:
    low, high = (None if one is None else say.quantity(one, finding.unit) for one in (finding.at_least, finding.at_most))
    if low and high:
        return say("between", low=low, high=high)
    return say("at_most", limit=high) if high else say("at_least", limit=low) if low else ""


def _share(finding: Finding, say: Tongue) -> str:
    """Return how much of the limit is used: the figure, and a bar for the eye that says nothing more."""
    if finding.share is None:
        return ""
    percent, long = say.number(finding.share * 100, 0), min(finding.share, 1.0) * 26
    return (
        f'{percent} %<svg class="bar" viewBox="0 0 27 7" aria-hidden="true"><rect x="0.5" y="0.5" width="26" height="6" fill="#fff" '
        f'stroke="#000" stroke-width="0.7"/><rect x="0.5" y="0.5" width="{long:.1f}" height="6" fill="#555"/></svg>'
    )


def source_of(finding: Finding, say: Tongue) -> str:
    """Return where a limit comes from: the venue's own reason, else its source, else the rule's."""
    limit = finding.limits[0] if finding.limits else None
    if limit is not None and limit.reason:
        return say("venue_limit", reason=limit.reason)
    source = limit.source if limit is not None else finding.source
    parts = [source.title, source.where] if source.provenance == "published" else [say(f"provenance.{source.provenance}")]
    return ", ".join([part for part in parts if part] + ([say("from_memory")] if source.from_memory else []))


def _to_find_out(sheet: WorkSheet, say: Tongue) -> str:
    if not sheet.to_find_out:
        return ""
    rows = "".join(_find(one, say) for one in sheet.to_find_out[:MOST_TO_FIND])
    more = len(sheet.to_find_out) - MOST_TO_FIND
    rest = f'<p class="note">{escape(say("more", count=more))}</p>' if more > 0 else ""
    return f'<h3>{escape(say("to_find_out"))}</h3><ul class="find columns">{rows}</ul>{rest}'


def _find(one: ToFind, say: Tongue) -> str:
    """Return a fact to find out: a line to write on, with its unit, and how to go about it, which paper may have no room for."""
    unit = f" {say.unit(one.unit)}" if one.unit else ""
    how = f' <span class="note how">{escape(one.how)}</span>' if one.how else ""
    return f'<li><span class="line">__________{escape(unit)}</span>{escape(one.title)}{how}</li>'


def _also_fine(told: Told, sheet: WorkSheet, say: Tongue) -> str:
    names = "; ".join(dict.fromkeys(measure_of(told, one, say) for one in sheet.also_fine))
    states = [one.state for one in sheet.work.findings]
    counts = say("also_rules", **{name: states.count(State(name)) for name in ("met", "unmet", "borderline", "unknown")})
    fine = f"<strong>{escape(say('also_fine'))}:</strong> {escape(names)}. " if names else ""
    return f'<p class="note">{fine}{escape(counts)}</p>'


def _cautions(sheet: WorkSheet, say: Tongue) -> str:
    return f"<h3>{escape(say('cautions'))}</h3>{cautions(sheet.cautions, say)}" if sheet.cautions else ""
