"""The page for the artist: what is fine, what to do in which order, what we do, by when, and what is still asked."""

from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

from msgspec import UNSET

from hangworthy.contract.effect import Outcome, Stage, State
from hangworthy.contract.finding import Question, WorkAnswer
from hangworthy.engine.language import label
from hangworthy.engine.written import excerpt
from hangworthy.sheets.content import Item, Told, WorkSheet, is_open, open_answers
from hangworthy.sheets.pictures import figures
from hangworthy.sheets.words import Tongue

MOST_FINE, MOST_ADVICE, MOST_UNSURE, MOST_WORDS = 14, 6, 5, 5


def artist_page(told: Told, sheet: WorkSheet, say: Tongue, place: int) -> str:
    """Return the first page of one work."""
    waits = say("waits") if sheet.hazard else ""
    parts = [
        head(told, sheet, say, say("kicker"), place),
        _verdict(told.answer.stage, sheet, say),
        _steps(say("blockers"), sheet.blockers, say),
        _todo(sheet, say),
        _steps(say("again"), sheet.again, say, boxes=True, lead=waits),
        _tools(sheet, say),
        figures(sheet.drawings, "artist", say),
        f'<p class="note">{escape(say("drawings_left_out"))}</p>' if sheet.drawings_left_out else "",
        _unsure(sheet.work, say),
        _asked(sheet, say),
        _ours(sheet, say),
        _list(say("advice"), [_advice(one) for one in sheet.advice], say, MOST_ADVICE, lead=waits),
        _fine(sheet, say),
        f'<p class="safety" id="w{place}-artist-end"><strong>{escape(say("caution"))}:</strong> {escape(say("safety"))}</p>',
    ]
    return f'<section class="page" id="w{place}-artist" aria-labelledby="w{place}-title">{"".join(parts)}</section>'


def title_of(sheet: WorkSheet, say: Tongue) -> str:
    """Return the work's title as it was sent."""
    return str(sheet.sent.get("title") or say("untitled"))


def size_of(sheet: WorkSheet, say: Tongue) -> str:
    """Return width and height as they were sent or read, in millimetres where no unit was; with their letters, lest they are swapped."""
    sides = [sheet.sent.get(name) for name in ("width_mm", "height_mm")]
    if None in sides:
        return ""
    width, height = (one if isinstance(one, str) else f"{say.figures(f'{one:g}')} mm" for one in sides)
    return say("size_sides", width=width, height=height)


def head(told: Told, sheet: WorkSheet, say: Tongue, kicker: str, place: int, level: str = "h1") -> str:
    """Return the head of a page: the work by title, artist and reference, and where it is to hang."""
    sent, venue = sheet.sent, told.venue_title or told.answer.venue.name
    artist = sent.get("artist_name")
    # The space is the name's, since a printer counts one at the end of a title as part of its line and then breaks after the first word.
    who = f'<span class="who"> {escape(say("by", artist=artist))}</span>' if artist else ""
    kind = sent.get("kind")
    facts: list[tuple[str, Any]] = [
        (say("reference"), sheet.work.ref),
        (say("kind"), say(f"kind_name.{kind}") if kind else ""),
        (say("size"), size_of(sheet, say)),
        (say("venue"), venue),
        (say("wall"), sent.get("wall_name")),
        (say("stage"), say(f"stage_name.{told.answer.stage}")),
        (say("asked_on"), say.day_of(told.answer.evaluated_at)),
    ]
    ident = f' id="w{place}-title"' if level == "h1" else f' id="w{place}-bench-title"'
    return (
        f'<header><p class="kicker">{escape(kicker)}</p><{level}{ident}>{escape(title_of(sheet, say))}{who}</{level}>'
        f"{definitions(facts)}</header>"
    )


def definitions(rows: Iterable[tuple[str, Any]]) -> str:
    """Return names and values; those without a value are left out."""
    made = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(str(value))}</dd></div>" for name, value in rows if value)
    return f'<dl class="facts">{made}</dl>' if made else ""


def _verdict(stage: Stage, sheet: WorkSheet, say: Tongue) -> str:
    work = sheet.work
    what, sentence, settled = say(f"outcome.{work.outcome}"), f"outcome_sentence.{work.outcome}", ""
    if is_open(work):
        count = open_answers(work)
        key = "settled.close" if not count else "settled.one" if count == 1 else "settled.open"
        note = say(key, count=count, outcome=say(f"outcome.{work.at_worst}"))
        if work.outcome is Outcome.READY:  # nobody is to read that it is ready and miss the rest
            what = say("not_settled")
        else:
            note = f"{say('not_settled')}. {note}"
        settled = f'<p class="note">{escape(note)}</p>'
        sentence += "" if work.outcome is Outcome.REPAIR else "_open"
    day = say.day_of(sheet.sent.get("hang_from" if stage.rank < Stage.ROTATION.rank else "hang_until"))
    name = say("deadline") if day else say("deadline_open")
    note = f'<p class="note">{escape(say("deadline_note"))}</p>'
    when = f'<div class="when"><span>{escape(name)}</span><strong>{escape(day)}</strong>{note}</div>'
    told = f'<p class="what">{escape(what)}</p><p>{escape(say(sentence))}</p>{settled}'
    return f'<div class="verdict"><div>{told}</div>{when}</div>'


def _todo(sheet: WorkSheet, say: Tongue) -> str:
    if sheet.todo or sheet.later:
        return _steps(say("todo"), sheet.todo, say, boxes=True) + _steps(say("waits"), sheet.later, say, boxes=True)
    if sheet.work.outcome is Outcome.READY:
        return f"<h2>{escape(say('todo'))}</h2><p>{escape(_nothing(sheet, say))}</p>"
    return ""


def _nothing(sheet: WorkSheet, say: Tongue) -> str:
    """Return that there is nothing to prepare, and what the artist waits for while that is not settled."""
    if not is_open(sheet.work):
        return say("todo_none")
    return say("todo_none_asked" if sheet.asked else "todo_none_again" if sheet.again else "todo_none_waits")


def _steps(title: str, items: Sequence[Item], say: Tongue, *, boxes: bool = False, lead: str = "") -> str:
    if not items:
        return ""
    box = '<span class="box" aria-hidden="true"></span>' if boxes else ""
    rows = "".join(f"<li>{box}{_item(one, say)}</li>" for one in items)
    return f'<h2>{escape(title)}</h2>{_lead(lead)}<ol class="steps{"" if boxes else " bare"}">{rows}</ol>'


def _lead(text: str) -> str:
    """Return what stands before a list; nothing where there is no such word."""
    return f"<p><strong>{escape(text)}:</strong></p>" if text else ""


def _item(one: Item, say: Tongue) -> str:
    finding = one.finding
    step = "" if finding.state is State.BORDERLINE else f'<span class="step">{escape(say(f"step.{one.step}"))}.</span> '
    text = f'<p>{step}<span class="remedy">{escape(finding.remedy)}</span> <span class="why">{escape(finding.artist)}</span></p>'
    return text + cautions(one.cautions, say)


def cautions(texts: Iterable[str], say: Tongue) -> str:
    """Return cautions, each set apart and named as one."""
    name = escape(say("caution"))
    return "".join(f'<p class="caution"><strong>{name}:</strong> {escape(text)}</p>' for text in texts)


def _tools(sheet: WorkSheet, say: Tongue) -> str:
    names = ", ".join(say(f"tool.{one}") for one in sheet.tools)
    return f'<p class="tools"><strong>{escape(say("tools"))}:</strong> {escape(names)}.</p>' if names else ""


def _unsure(work: WorkAnswer, say: Tongue) -> str:
    """Return what the artist's own words leave open, as questions; nothing where all was understood."""
    told = work.reading
    if told is UNSET:
        return ""
    rows = [_row(say("unsure_right", sentence=one.sentence), (say("yes"), say("no"))) for one in told.contradictions]
    rows += [_row(one.question, one.labels or [label(choice) for choice in one.choices]) for one in told.asks]
    if told.unread:
        texts = ", ".join(say.voice.quoted(excerpt(one.text)) for one in told.unread[:MOST_WORDS])
        rows.append(_row(say("unsure_words", texts=texts)))
    made = "".join(rows[:MOST_UNSURE])
    return f'<h2>{escape(say("unsure"))}</h2><ul class="asks">{made}</ul>{_more(rows, MOST_UNSURE, say)}' if rows else ""


def _row(question: str, choices: Iterable[str] = (), unit: str = "", how: str = "") -> str:
    """Return a question with a box for each answer, or with a line to write on where there are none to choose from."""
    boxes = "".join(f' <span class="way"><span class="box" aria-hidden="true"></span> {escape(one)}</span>' for one in choices)
    line = "" if boxes else f'<span class="line">______________{escape(f" {unit}" if unit else "")}</span>'
    ways = f'<span class="ways">{boxes}</span>' if boxes else ""
    note = f' <span class="note">{escape(how)}</span>' if how else ""
    return f"<li>{line}<strong>{escape(question)}</strong>{note}{ways}</li>"


def _asked(sheet: WorkSheet, say: Tongue) -> str:
    """Return every question for the artist: one that is left out here is asked by nobody."""
    if not sheet.asked:
        return ""
    rows = "".join(_row(one.prompt, choices_of(one, say), say.unit(one.unit) if one.unit else "", one.how) for one in sheet.asked)
    return f'<h2>{escape(say("please"))}</h2><p class="note">{escape(say("please_hint"))}</p><ul class="asks">{rows}</ul>'


def choices_of(one: Question, say: Tongue) -> Sequence[str]:
    """Return the answers that a question can have, in the sheet's language; nothing where they are not a choice."""
    if one.type == "yes_no":
        return say("yes"), say("no")
    return one.labels or [label(choice) for choice in one.choices]


def _ours(sheet: WorkSheet, say: Tongue) -> str:
    rows = [
        f'{escape(one.finding.remedy)} <span class="note">{escape(one.finding.artist)}</span> {cautions(one.cautions, say)}'
        for one in sheet.ours
    ]
    if sheet.looked_up:
        count = len(sheet.looked_up)
        rows.append(escape(say("coordinator_asks" if count > 1 else "coordinator_asks_one", count=count)))
    rows.append(escape(say("ours_plain")))
    return _list(say("ours"), rows, say, len(rows))


def _advice(one: Item) -> str:
    return f'{escape(one.finding.artist)} <span class="note">{escape(one.finding.remedy)}</span>'


def _list(title: str, rows: Sequence[str], say: Tongue, most: int, lead: str = "") -> str:
    """Return a list whose rows are HTML already."""
    made = "".join(f"<li>{row}</li>" for row in rows[:most])
    return f'<h2>{escape(title)}</h2>{_lead(lead)}<ul class="plain">{made}</ul>{_more(rows, most, say)}' if rows else ""


def _more(rows: Sequence[Any], most: int, say: Tongue) -> str:
    return f'<p class="note">{escape(say("more", count=len(rows) - most))}</p>' if len(rows) > most else ""


def _fine(sheet: WorkSheet, say: Tongue) -> str:
    rows = "".join(f"<li>{escape(text)}</li> " for text in sheet.fine[:MOST_FINE])
    told = f'<ul class="fine">{rows}</ul>' if rows else f"<p>{escape(say('fine_none'))}</p>"
    return f"<h2>{escape(say('fine'))}</h2>{told}{_more(sheet.fine, MOST_FINE, say)}"
