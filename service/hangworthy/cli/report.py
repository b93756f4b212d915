"""Answers for people: findings worst first, each with its remedy; colour only where it is wanted."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import IO, Any, Literal, TextIO, cast

from msgspec import UNSET
from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from hangworthy.cli.acting import safe_first
from hangworthy.cli.words import words_in
from hangworthy.contract.effect import Outcome, State
from hangworthy.contract.finding import Evaluation, Finding, Question, WorkAnswer
from hangworthy.contract.languages import DEFAULT_LANGUAGE
from hangworthy.contract.reading import Asked, TextRead
from hangworthy.words import Words

WIDEST = 110
MOST_NAMED = 8  # findings listed by name; more are counted, and the JSON has them all
_STYLES = {
    "ready": "bold green",
    "prepare": "bold yellow",
    "repair": "bold red",
    "refuse": "bold white on red",
    "advise": "cyan",
    "borderline": "magenta",
    "error": "bold white on red",
    "unknown": "dim",
}
_PADDED = re.compile(r" +$", re.MULTILINE)
_TO_SHOW = {State.UNMET: 0, State.ERROR: 1, State.BORDERLINE: 2, State.UNKNOWN: 3}


class _Trimmed:
    """A stream without spaces at the ends of lines: tables pad them, and pasted text should be clean."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        return self._stream.write(_PADDED.sub("", text))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Screen(Console):
    """A console that leaves a broken pipe to the command line, which knows the exit code for it."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


def console(stream: TextIO, color: Literal["auto", "always", "never"], environment: Mapping[str, str]) -> Console:
    """Return a console: colour on a terminal unless NO_COLOR is set, or always, or never. Piped text is 80 columns wide."""
    terminal = stream.isatty()
    coloured = color == "always" or (color == "auto" and terminal and not environment.get("NO_COLOR"))
    made = _Screen(
        file=cast(IO[str], _Trimmed(stream)),
        force_terminal=coloured,
        color_system=("auto" if terminal else "standard") if coloured else None,
        no_color=not coloured,
        highlight=False,
        markup=False,
        emoji=False,
    )
    if made.width > WIDEST:
        made.width = WIDEST
    return made


def clean(text: object, style: str = "") -> Text:
    """Return a text that cannot steer the terminal: what an artist typed is shown, never obeyed."""
    return Text("".join(sign if sign.isprintable() or sign == "\n" else "\N{REPLACEMENT CHARACTER}" for sign in str(text)), style=style)


def outcome_text(answer: WorkAnswer | Evaluation, say: Words) -> Text:
    """Return the outcome, and what it could become where that is still open."""
    text = Text(answer.outcome.value, style=_STYLES[answer.outcome.value])
    if answer.at_worst is not answer.outcome:
        text.append(say("at_worst"), style="default").append(answer.at_worst.value, style=_STYLES[answer.at_worst.value])
    elif not answer.settled:
        text.append(say("not_settled"), style="default")
    return text


def show_evaluation(screen: Console, evaluation: Evaluation, titles: Sequence[str | None], heading: str = "") -> None:
    """Print one evaluation in its own language: every work in the order given, then the sum of them."""
    say = words_in(evaluation.language or DEFAULT_LANGUAGE)
    if heading:
        screen.print(clean(heading, "underline"))
    for title, answer in zip(titles, evaluation.works, strict=True):
        show_work(screen, answer, title, say)
    counted = Counter(answer.outcome for answer in evaluation.works)
    total = ", ".join(f"{counted[outcome]} {outcome.value}" for outcome in Outcome if counted[outcome])
    count = len(evaluation.works)
    line = clean(say("one_work" if count == 1 else "works", count=count, stage=evaluation.stage.value, total=total))
    line.append_text(outcome_text(evaluation, say)).append(".")
    screen.print(line)
    screen.print(clean(say("venue", name=evaluation.venue.name, version=evaluation.venue.version), "dim"))
    for fault in evaluation.faults:
        screen.print(clean(say("left_out", fault=fault), _STYLES["error"]))
    screen.print()


def show_work(screen: Console, answer: WorkAnswer, title: str | None, say: Words) -> None:
    """Print what one work needs, what is asked, what comes later, and the cautions."""
    head = clean(answer.ref, "bold").append(f"  {clean(title).plain}" if title else "", style="bold").append("  ")
    screen.print(head.append_text(outcome_text(answer, say)))
    shown = worst_first(answer.findings)
    now, later = safe_first(shown, answer)
    if now:
        screen.print(_findings(now, say))
    if later:
        screen.print(clean(f"  {say('waits')}:", "italic"))
        screen.print(_findings(later, say))
    if all(finding.state is State.NOT_APPLICABLE for finding in answer.findings):
        _line(screen, say("not_checked"), [say("no_rule")])
    _questions(screen, answer.questions, say)
    counted = [one.sentence for one in answer.counted] if answer.counted is not UNSET else []
    for line in (*counted, *(open_in(answer.reading, say) if answer.reading is not UNSET else ())):
        screen.print(Padding(clean(line), (0, 0, 0, 2), expand=False))
    met = [finding for finding in answer.findings if finding.state is State.MET]
    later = [finding for finding in answer.findings if finding.due is not None]
    _line(screen, say("in_order"), _tally([finding.rule for finding in met], [finding.pack for finding in met]))
    stages = [str(finding.due) for finding in sorted(later, key=lambda one: one.due.rank if one.due else 0)]
    named = [f"{finding.rule} ({finding.due})" for finding in later]
    _line(screen, say("later"), _tally(named, [say("at_stage", stage=stage) for stage in stages]))
    for caution in dict.fromkeys(text for finding in shown for text in finding.cautions):
        _line(screen, say("caution"), [caution])
    screen.print()


def open_in(told: TextRead, say: Words) -> Iterator[str]:
    """Yield what a reading of free text leaves open, and where it goes against what was given, a line each."""
    for against in told.contradictions:
        yield against.sentence
    for one in told.asks:
        yield f"? {one.question}" + (f" {say('either', choices=say('or').join(_choices(one)))}" if one.choices else "")
    if told.unread:
        yield say("not_understood", texts=", ".join(one.text for one in told.unread))


def _tally(each: Sequence[str], kinds: Sequence[str]) -> list[str]:
    """Return the names while they are few enough to read, else how many there are of each kind."""
    if len(each) <= MOST_NAMED:
        return list(each)
    return [f"{count} {kind}" for kind, count in Counter(kinds).items()]


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings that somebody must act on, worst effect first; what only awaits an answer is left to the questions."""
    shown = [one for one in findings if one.state in _TO_SHOW and one.due is None and (one.state is not State.UNKNOWN or one.others)]
    return sorted(shown, key=lambda one: (-one.effect.rank, _TO_SHOW[one.state], one.rule, one.by))


def _findings(shown: Sequence[Finding], say: Words) -> Padding:
    """Return the table. State and rule share a column, so that codes stay whole and sentences readable at 80 columns."""
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), show_edge=False)
    longest = max(len(one.rule) for one in shown)
    table.add_column(say("state_and_rule"), width=min(max(longest, len(say("state_and_rule"))), 26), overflow="fold")
    table.add_column(say("found"), ratio=1, overflow="fold")
    table.add_column(say("to_do"), ratio=1, overflow="fold")
    for one in shown:
        state = one.effect.value if one.state is State.UNMET else one.state.value
        mark = Text(state, style=_STYLES[state])
        if one.state is not State.UNMET:
            mark.append(f"\n({say('up_to', effect=one.effect.value)})", style="default")
        mark.append(f"\n{clean(one.rule).plain}", style="not bold default")
        if way := one.by_label or (one.by if say("code") == DEFAULT_LANGUAGE else ""):
            mark.append(f"\n{clean(say('by', way=way)).plain}", style="not bold dim")
        table.add_row(mark, clean(one.artist), clean(one.remedy))
    return Padding(table, (0, 0, 0, 2), expand=False)


def _questions(screen: Console, questions: Sequence[Question], say: Words) -> None:
    if not questions:
        return
    screen.print(clean(f"  {say('still_to_answer')}", "italic"))
    table = Table(box=None, show_header=False, padding=(0, 1, 0, 0))
    table.add_column(justify="right", width=4)
    table.add_column(overflow="fold")
    for place, one in enumerate(questions, 1):
        text = clean(one.prompt).append(f" [{say(f'unit.{one.unit}')}]" if one.unit else "", style="dim")
        if one.asked_of != "artist":
            text.append(f" ({say('for_coordinator')})", style="dim")
        if one.choices:
            text.append(f" {', '.join(_choices(one))}.", style="dim")
        if one.how:
            text.append(f"\n{clean(one.how).plain}", style="dim")
        text.append(f"\n→ {one.fact}: {', '.join(one.settles)}, {say('up_to', effect=one.effect.value)}", style="dim")
        table.add_row(str(place), text)
    screen.print(table)


def _choices(question: Question | Asked) -> Iterable[str]:
    """Return what may be answered, as it is written in a file, with what it means where the language is another one."""
    if not question.labels:
        return question.choices
    pairs = zip(question.choices, question.labels, strict=True)
    return (as_in_a_file(value, label) for value, label in pairs)


def as_in_a_file(value: str, label: str) -> str:
    """Return a choice as it is written in a file, with what it means where that is another word."""
    return value if value == label else f"{value} ({label})"


def _line(screen: Console, name: str, items: Sequence[str]) -> None:
    if items:
        text = clean(f"{name}: ", "bold").append(clean(", ".join(dict.fromkeys(items))).plain, style="not bold")
        screen.print(Padding(text, (0, 0, 0, 2), expand=False))
