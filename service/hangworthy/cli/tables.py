"""Lists for people: packs, limits, one rule, published values."""

from collections.abc import Sequence
from typing import Any

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from hangworthy.cli.report import clean
from hangworthy.contract.quantities import show_quantity
from hangworthy.contract.source import Source
from hangworthy.rows import Comparison, Number


def show_packs(screen: Console, listed: dict[str, Any]) -> None:
    """Print the packs, their rules, and what is wrong with any."""
    for pack in listed["packs"]:
        origin = ", ".join(part for part in (pack["distribution"], f"fingerprint {pack['fingerprint']}") if part)
        screen.print(clean(f"{pack['name']} {pack['version']}", "bold").append(f"  {pack['title']}", style="not bold"))
        screen.print(clean(f"  {origin}", "dim"))
        table = _table("Rule", "Question", "Effect", "Due")
        for rule in pack["rules"]:
            by = f"\nby {rule['by']}" if rule["by"] else ""
            table.add_row(clean(rule["code"] + by), clean(rule["question"]), clean(", ".join(rule["effects"])), clean(rule["due"]))
        screen.print(Padding(table, (0, 0, 1, 2)))
    if not listed["packs"]:
        screen.print(clean("No rule pack is installed."))
    if listed["faults"]:
        screen.print(clean("Faults:", "bold red"))
    for fault in listed["faults"]:
        screen.print(Padding(clean(fault), (0, 0, 0, 2)))


def show_limits(screen: Console, listed: Sequence[dict[str, Any]]) -> None:
    """Print every limit: its value, the range an override must keep, its meaning and its source."""
    table = _table("Limit", "Value", "Range", "Meaning and source")
    for one in listed:
        unit = one["unit"]
        span = f"{show_quantity(one['minimum'], unit)} to {show_quantity(one['maximum'], unit)}"
        text = clean(one["meaning"]).append(f"\n{source_text(one['source'])}", style="dim")
        if one["reason"]:
            text.append(f"\n{show_quantity(one['default'], unit)} by default; here because: {one['reason']}", style="italic")
        table.add_row(clean(one["name"]), clean(show_quantity(one["value"], unit)), clean(span), text)
    screen.print(table)


def show_rule(screen: Console, explained: Sequence[dict[str, Any]]) -> None:
    """Print all that a rule says of itself, each way of measuring in turn."""
    for one in explained:
        by = f", by {one['by']}" if one["by"] else ""
        screen.print(clean(f"{one['code']}{by}", "bold").append(f"  ({one['pack']} {one['pack_version']})", style="not bold dim"))
        screen.print(Padding(clean(one["question"], "bold"), (0, 2)))
        if one["explanation"]:
            paragraphs = [" ".join(part.split()) for part in one["explanation"].split("\n\n")]
            screen.print(Padding(clean("\n\n".join(paragraphs)), (1, 2)))
        lines = [("Effect", ", ".join(one["effects"])), ("Due from", one["due"]), ("Facts", ", ".join(one["facts"]))]
        lines += [
            (
                "Limit",
                f"{limit['name']} = {show_quantity(limit['default'], limit['unit'])}: {limit['meaning']} ({source_text(limit['source'])})",
            )
            for limit in one["limits"]
        ]
        lines += [("Source", source_text(one["source"])), *(("Caution", text) for text in one["cautions"])]
        for name, text in lines:
            screen.print(Padding(clean(f"{name}: ", "bold").append(text, style="not bold"), (0, 2)))
        screen.print()


def show_published(screen: Console, found: Sequence[Comparison]) -> None:
    """Print each printed value beside what the formula gives."""
    table = _table("Row", "Source", "Expected", "Got", "±", "")
    for one in found:
        row = one.row
        source = clean(row.source).append(f"\n{row.where} ({row.status}); {row.formula}", style="dim")
        verdict = clean("yes", "green") if one.agrees else clean("NO", "bold red")
        table.add_row(clean(f"{one.pack}\n{row.id}"), source, _figures(row.expected), _figures(one.got), f"{row.tolerance:.3g}", verdict)
    screen.print(table)
    differ = sum(not one.agrees for one in found)
    screen.print(clean(f"{len(found)} published values, {differ or 'none'} outside the tolerance."))


def source_text(source: Source) -> str:
    """Return a source in one line; only a published one has a text to name."""
    if source.provenance != "published":
        return source.provenance
    named = ", ".join(part for part in (source.title, source.where) if part)
    return f"{source.provenance}: {named}{' (from memory)' if source.from_memory else ''}"


def _figures(value: Number) -> str:
    numbers = value if isinstance(value, tuple) else (value,)
    return "\n".join(f"{number:.6g}" for number in numbers)


def _table(*names: str) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, padding=(0, 1, 0, 0))
    for name in names:
        table.add_column(name, overflow="fold")
    return table
