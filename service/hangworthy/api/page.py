"""The page for people: plain HTML made from the OpenAPI document. No script, no font and no picture from anywhere."""

import json
from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

_STYLE = """
:root { color-scheme: light dark; --ink: #26211c; --paper: #faf6ef; --card: #fffdf9; --line: #d9cfc0; --dim: #6d6156; --mark: #9a3b26; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee6da; --paper: #1d1a17; --card: #26221e; --line: #473f36; --dim: #b0a393; --mark: #f0957c; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.55 Georgia, "Times New Roman", serif; overflow-wrap: anywhere; }
main { max-width: 56rem; margin: 0 auto; padding: 1.5rem 1rem 4rem; }
h1 { font-size: 2.2rem; margin: 0; letter-spacing: -0.01em; }
h1::after { content: ""; display: block; width: 4rem; border-top: 4px solid var(--mark); }
h2 { margin: 2.5rem 0 0.5rem; font-size: 1.4rem; } h3 { margin: 0; font-size: 1.05rem; }
a { color: var(--mark); } a:focus-visible, summary:focus-visible { outline: 3px solid var(--mark); outline-offset: 2px; }
section.op { background: var(--card); border: 1px solid var(--line); border-radius: 4px; padding: 1rem; margin: 0.8rem 0; }
code, pre { font: 0.86rem/1.45 ui-monospace, "DejaVu Sans Mono", monospace; }
.verb { color: var(--card); background: var(--mark); border-radius: 3px; padding: 0.1rem 0.4rem; margin-right: 0.4rem; }
pre { overflow-x: auto; overflow-wrap: normal; max-height: 24rem; padding: 0.7rem; border: 1px solid var(--line); border-radius: 4px; }
summary { cursor: pointer; padding: 0.3rem 0; } .dim { color: var(--dim); }
dl { margin: 0.5rem 0; display: grid; grid-template-columns: minmax(7rem, 13rem) 1fr; gap: 0.3rem 1rem; } dd { margin: 0; }
@media (max-width: 34rem) { dl { grid-template-columns: 1fr; gap: 0; } dd { margin-bottom: 0.6rem; } }
"""


def page(described: Mapping[str, Any]) -> str:
    """Return the page of a document."""
    info = described["info"]
    about = str(info["description"]).partition("\n\n")[0]
    body = "".join(_tag(described, tag) for tag in described["tags"])
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(info['title'])}</title><style>{_STYLE}</style></head><body><main>"
        f"<h1>{escape(info['title'])}</h1><p>{escape(info['summary'])}</p><p class=dim>{escape(about)}</p>"
        f'<p>For machines: <a href="openapi.json">openapi.json</a>, version {escape(info["version"])}.</p>'
        f"{body}{_facts(described)}{_problems(described)}</main></body></html>\n"
    )


def _tag(described: Mapping[str, Any], tag: Mapping[str, str]) -> str:
    parts = [
        _operation(described, verb, path, operation)
        for path, verbs in described["paths"].items()
        for verb, operation in verbs.items()
        if tag["name"] in operation["tags"]
    ]
    return f"<h2>{escape(tag['name'])}</h2><p class=dim>{escape(tag['description'])}</p>{''.join(parts)}"


def _operation(described: Mapping[str, Any], verb: str, path: str, operation: Mapping[str, Any]) -> str:
    parameters = [one for one in operation["parameters"] if "$ref" not in one]
    asked = _definitions((f"{one['name']} ({one['in']})", one["description"]) for one in parameters)
    answers = _definitions((status, _described(described, one)) for status, one in sorted(operation["responses"].items()))
    return (
        f'<section class=op id="{escape(operation["operationId"])}">'
        f"<h3><code><span class=verb>{verb.upper()}</span>{escape(path)}</code></h3>"
        f"<p><strong>{escape(operation['summary'])}.</strong> {escape(operation['description'])}</p>{asked}"
        f"{_calls(operation)}<details><summary>Answers by status</summary>{answers}</details></section>"
    )


def _described(described: Mapping[str, Any], response: Mapping[str, Any]) -> str:
    if "$ref" in response:
        response = described["components"]["responses"][response["$ref"].rpartition("/")[2]]
    return str(response["description"])


def _definitions(rows: Iterable[tuple[str, str]]) -> str:
    made = "".join(f"<dt><code>{escape(name)}</code></dt><dd>{escape(text)}</dd>" for name, text in rows)
    return f"<dl>{made}</dl>" if made else ""


def _calls(operation: Mapping[str, Any]) -> str:
    """Return the examples of an operation: what is sent, and what comes back."""
    asked = operation.get("requestBody", {}).get("content", {}).get("application/json", {}).get("examples", {})
    told = operation["responses"]["200"]["content"].get("application/json", {}).get("examples", {})
    return "".join(
        f"<details><summary>{escape(one['summary'])}</summary><p class=dim>Send</p>{_code(one['value'])}"
        f"<p class=dim>Answer</p>{_code(told.get(name, {}).get('value'))}</details>"
        for name, one in asked.items()
    )


def _code(value: Any) -> str:
    return f"<pre tabindex=0>{escape(json.dumps(value, indent=2, ensure_ascii=False))}</pre>"


def _facts(described: Mapping[str, Any]) -> str:
    """Return the facts of a work and of its sections, each with its unit and range."""
    schemas = described["components"]["schemas"]
    parts = [_fact_list("A work", "", schemas["Work"])]
    for name, one in schemas["Work"]["properties"].items():
        for way in one.get("anyOf", ()):
            if "$ref" in way:
                parts.append(_fact_list(f"Section “{name}”", f"{name}.", schemas[way["$ref"].rpartition("/")[2]]))
    return f"<h2>Facts</h2><p class=dim>Leave out what is not known.</p>{''.join(parts)}"


def _fact_list(title: str, prefix: str, section: Mapping[str, Any]) -> str:
    rows = [(prefix + name, _fact(one)) for name, one in section["properties"].items() if "x-prompt" in one]
    return f"<details><summary>{escape(title)} ({len(rows)})</summary>{_definitions(rows)}</details>"


def _fact(one: Mapping[str, Any]) -> str:
    ways = [way for way in one.get("anyOf", (one,)) if way.get("type") != "null"]
    choices = next((f" One of: {', '.join(way['enum'])}." for way in ways if "enum" in way), "")
    ranges = next((f" From {way['minimum']:,.15g} to {way['maximum']:,.15g}." for way in ways if "minimum" in way and "maximum" in way), "")
    units = f" In {', '.join(one['x-units-accepted'])}." if "x-units-accepted" in one else ""
    return f"{one.get('description', '')}{choices}{ranges}{units}"


def _problems(described: Mapping[str, Any]) -> str:
    rows = [
        (f"{shown['value']['status']} {name}", f"{shown['value']['title']}. {shown['value']['detail']}")
        for response in described["components"]["responses"].values()
        for content in response.get("content", {}).values()
        for name, shown in content["examples"].items()
    ]
    return f"<h2>Problems</h2><p class=dim>Every error is a problem after RFC 9457.</p>{_definitions(sorted(rows))}"
