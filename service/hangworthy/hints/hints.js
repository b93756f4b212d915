// Hints at the fields of a form; see README.md. Nothing is stored, nor is submitting touched.
(() => {
"use strict";
const { src, dataset: set } = document.currentScript, address = new URL("../evaluations?record=false", src);
const EFFECTS = ["refuse", "repair", "prepare", "advise"];
const WORDS = {
	en: {
		ready: "ready to hang", prepare: "something to do before drop-off", repair: "first to a framer or conservator",
		refuse: "not at this venue", so: " so far. Could become: ", look: "Please look at the marked fields. ", next: "Needed next. ",
	},
	de: {
		ready: "kann hängen", prepare: "vor der Abgabe etwas zu tun", repair: "zuerst zum Rahmenmacher oder Restaurator",
		refuse: "nicht an diesem Ort", so: ", soweit bekannt. Noch möglich: ", look: "Bitte die markierten Felder ansehen. ",
		next: "Als Nächstes nötig. ",
	},
};
const lang = /^de\b/i.test(set.lang) ? "de" : "en", words = WORDS[lang];
const groups = new Map(); // fact → its inputs and the boxes beside them
const before = new Map(); // input → its aria-invalid before ours
const changed = new Set(); // facts, since the last answer
let timer, running, turn = 0, count = 0, shown, failures = 0, quiet = 0, off;

const factOf = (pointer) => pointer.replace(/\/\d+$/, "");
const groupOf = (pointer) => groups.get(pointer) || groups.get(factOf(pointer));
const classOf = (kind) => set["class" + kind[0].toUpperCase() + kind.slice(1)] ?? "hangworthy-" + kind;
const all = (name) => document.querySelectorAll(`[data-hangworthy-${name}]`);

function element(tag, kind, textContent = "") {
	return Object.assign(document.createElement(tag), { className: classOf(kind), textContent });
}

function fill(box, tag, lines) {
	box.replaceChildren(...[...lines].map(([text, kind]) => element(tag, kind, text)));
}

// Empty from the start: screen readers announce changes of a region that they know.
function find() {
	for (const group of groups.values()) group.inputs = [];
	for (const input of document.querySelectorAll("[data-fact]")) {
		if (input.dataset.fact[0] !== "/") input.dataset.fact = "/" + input.dataset.fact;
		const fact = factOf(input.dataset.fact);
		if (!groups.has(fact)) groups.set(fact, { fact, inputs: [] });
		groups.get(fact).inputs.push(input);
	}
	for (const group of groups.values()) if (group.inputs[0] && !group.hint?.isConnected) place(group);
}

function place(group) {
	const last = group.inputs.at(-1), set = last.closest("fieldset");
	const own = set && [...set.querySelectorAll("[data-fact]")].every((input) => group.inputs.includes(input));
	const boxes = ["hint", "next"].map((kind) => (group[kind] = element("div", kind)));
	for (const box of boxes) box.id = "hangworthy-" + ++count;
	group.hint.setAttribute("aria-live", "polite");
	if (own) set.append(...boxes);
	else (last.closest("label") || last).after(...boxes);
}

function valueOf(input) {
	const text = input.value.trim(), { unit, type, fact } = input.dataset;
	if (!text) return;
	if (type === "list") return [text];
	if (type === "number" || (!unit && (input.type === "number" || groups.get(factOf(fact))?.whole))) return isFinite(text) ? Number(text) : text;
	if (/^(true|false)$/.test(text)) return text === "true";
	return unit && !/[a-z"'′″]/i.test(text) ? `${text} ${unit}` : text;
}

// Undefined while not known: an empty field, a list with a gap, a box left alone.
function read({ fact, inputs }) {
	const first = inputs[0], some = (list) => (list.length ? list : undefined);
	if (!first || groups.get(fact).none) return;
	if (first.dataset.fact !== fact) {
		const list = inputs.map(valueOf);
		return list.includes(undefined) ? undefined : list;
	}
	const chosen = inputs.filter((input) => input.checked);
	if (first.type === "radio") return chosen.map(valueOf)[0];
	if (first.multiple) return some([...first.selectedOptions].map((option) => option.value));
	if (first.type !== "checkbox") return valueOf(first);
	if (first.hasAttribute("value")) return some(chosen.map((input) => input.value));
	return first.checked || (first.dataset.unchecked === "no" ? false : undefined);
}

function request(without) {
	const work = { ref: "form", kind: set.kind }, body = { stage: set.stage, venue: set.venue, works: [work] };
	if (lang !== "en") body.language = lang;
	for (const group of groups.values()) {
		const value = without.has(group.fact) ? undefined : read(group);
		if (value === undefined) continue;
		const steps = group.fact.slice(1).split("/"), last = steps.pop();
		steps.reduce((at, step) => (at[step] ??= {}), work)[last] = value;
	}
	return JSON.stringify(body);
}

function soon(wait) {
	clearTimeout(timer);
	timer = setTimeout(ask, Math.max(wait, quiet - Date.now()), []);
}

async function ask(faults) {
	find();
	const body = request(new Set(faults.map(({ pointer }) => factOf(pointer)))), mine = ++turn;
	running?.abort();
	if (off || body === shown) return;
	const control = (running = new AbortController()), late = setTimeout(() => control.abort(), 8000);
	try {
		const headers = { "Content-Type": "application/json", ...(set.key && { Authorization: "Bearer " + set.key }) };
		const response = await fetch(address, { method: "POST", body, headers, credentials: "omit", signal: control.signal });
		const told = await response.json();
		if (mine !== turn) return;
		take(response, told, body, faults);
		document.dispatchEvent(new CustomEvent("hangworthy:answer", { detail: { status: response.status, told } }));
	} catch {
		if (mine === turn) pause(faults);
	} finally {
		clearTimeout(late);
	}
}

function take({ status, headers }, told, body, faults) {
	if (status === 429 || status >= 500) return pause(faults, headers.get("Retry-After"));
	shown = "";
	if (status === 422 && !faults[0] && again(told.errors)) return;
	failures = 0;
	if (!faults[0]) shown = body;
	changed.clear();
	if (status === 200) return show(told.works[0], faults);
	off = status !== 422;
	warn(told);
	clear(groups.values());
}

// For the form's owner.
function warn({ detail, errors = "" }) {
	console.warn("hangworthy:", detail, JSON.stringify(errors));
}

// Faults come without findings: ask again without them.
function again(errors) {
	for (const error of errors) error.pointer = error.pointer.replace("/works/0", "");
	const faults = errors.filter(({ pointer }) => groupOf(pointer));
	let put;
	for (const { pointer, message } of faults) {
		const group = groupOf(pointer), [{ value, dataset }] = group.inputs;
		// No artist can put right that the page names a fact that there is not.
		if (/has no fact/.test(message)) warn({ detail: message }, (put = group.none = true));
		// A count comes out of a text field as text.
		else if (!group.whole && !dataset.unit && /^\d+$/.test(value.trim())) put = group.whole = true;
	}
	if (faults[0]) ask(put ? [] : faults);
	return faults[0];
}

function pause(faults, seconds) {
	failures += 1;
	quiet = Date.now() + 1000 * (Number(seconds) || Math.min(60, 2 ** failures) * (0.75 + Math.random() / 2));
	shown = "";
	clear([...groups.values()].filter(({ fact }) => changed.has(fact))); // may no longer hold
	for (const { pointer, message } of faults) render(groupOf(pointer), new Map([[message, "fault"]]), "", new Set([pointer]));
	if (failures < 7) soon(0);
}

function clear(some) {
	for (const group of some) render(group);
	for (const box of [...all("summary"), ...all("more")]) box.replaceChildren();
}

function show(work, faults) {
	const lines = new Map([...groups.keys()].map((fact) => [fact, new Map()])), more = new Map(), uses = {};
	const wrong = new Set(faults.map(({ pointer }) => pointer));
	for (const { pointer, message } of faults) lines.get(groupOf(pointer).fact).set(message, "fault");
	const { asks = [], contradictions = [] } = work.reading || {};
	for (const { source, question } of asks) (lines.get("/as_written/" + source) || more).set(question, "next");
	for (const { fact, sentence } of contradictions) (lines.get(fact) || more).set(sentence, "advise");
	const known = ({ facts }) => Object.keys(facts || {});
	for (const fact of work.findings.flatMap(known)) uses[fact] = (uses[fact] || 0) + 1;
	const open = work.findings.filter(({ state }) => /unmet|borderline/.test(state));
	open.sort((a, b) => EFFECTS.indexOf(a.effect) - EFFECTS.indexOf(b.effect));
	for (const finding of open) {
		// at the fact of the fewest findings
		const fact = known(finding).filter((one) => lines.has(one)).sort((a, b) => uses[a] - uses[b])[0];
		const into = lines.get(fact) || more;
		const now = work.safe_first?.includes(finding.rule) ?? true;
		into.set(`${finding.artist} ${(now && finding.remedy) || ""}`, finding.effect); // mould, say, before dust
		for (const caution of finding.cautions || []) into.set(caution, "caution");
	}
	const asked = work.questions.filter((one) => one.asked_of === "artist" && !lines.get(one.fact)?.size);
	const first = (here) => asked.filter(({ fact }) => lines.has(fact) === here).slice(0, set.next || 3);
	const next = new Map(first(true).map(({ fact, how }) => [fact, words.next + how]));
	for (const { prompt } of first(false)) more.set(prompt, "next");
	for (const group of groups.values()) render(group, lines.get(group.fact), next.get(group.fact), wrong);
	summarise(work, faults.length, more);
}

function render(group, lines = new Map(), next = "", wrong = new Set()) {
	const state = JSON.stringify([...lines]);
	if (state !== group.state) fill(group.hint, "div", lines);
	group.state = state;
	group.next.textContent = next;
	for (const input of group.inputs) {
		const bad = wrong.has(input.dataset.fact) || wrong.has(group.fact);
		describe(input, group.hint);
		describe(input, group.next);
		if (bad === before.has(input)) continue;
		for (const name of classOf("invalid").match(/\S+/g) || []) input.classList.toggle(name, bad);
		const old = before.get(input);
		if (bad) before.set(input, input.getAttribute("aria-invalid"));
		else before.delete(input);
		put(input, "aria-invalid", bad ? "true" : old);
	}
}

function put(input, name, value) {
	input[value === null ? "removeAttribute" : "setAttribute"](name, value);
}

function describe(input, box) {
	const ids = (input.getAttribute("aria-describedby") || "").split(/\s+/).filter((id) => id && id !== box.id);
	if (box.textContent) ids.push(box.id);
	put(input, "aria-describedby", ids.join(" ") || null);
}

function summarise({ outcome, at_worst, settled, checked }, faulty, more) {
	const now = words[outcome] + (settled ? "" : words.so + words[at_worst]);
	const text = (faulty ? words.look : "") + (checked ? now[0].toUpperCase() + now.slice(1) + "." : "");
	for (const box of all("summary")) {
		if (box.textContent !== text) box.textContent = text;
		box.dataset.outcome = outcome;
	}
	for (const box of all("more")) fill(box, "li", more);
}

function note({ target, type, isComposing }) {
	const { fact } = target.dataset;
	if (isComposing || !(fact || type === "reset")) return;
	if (fact) changed.add(factOf(fact));
	soon(type === "input" ? set.wait || 400 : 50);
}

function start() {
	for (const box of all("summary")) if (!box.hasAttribute("aria-live")) box.setAttribute("role", "status");
	find();
	for (const type of ["input", "change", "reset"]) document.addEventListener(type, note);
	shown = request(groups); // nothing asked yet
	soon(0); // a browser may have filled it in
}

if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
else start();
})();
