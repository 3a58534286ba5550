// The tables: corals with their verdicts, and levels with hours. Text goes in as text.

import { kind, sign } from "./marks.js";

export function el(name, attributes = {}, ...inside) {
  const e = document.createElement(name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  e.append(...inside);
  return e;
}

export const swatch = (colour) => {
  const s = el("span", { class: "swatch", "aria-hidden": "true" });
  s.style.background = colour;
  return s;
};

// corals writes the rows of all corals and areas; choose hears which is looked at.
export function corals(body, v, tank, chosen, choose) {
  const shown = document.activeElement?.dataset?.coral;
  body.replaceChildren(...v.Corals.flatMap((c, i) => {
    if (c.Tank !== tank) return [];
    const pick = el("button", { type: "button", class: "pick", "data-coral": i, "aria-pressed": i === chosen }, c.Name);
    pick.addEventListener("click", () => choose(i));
    const name = el("th", { scope: "row" }, pick, el("small", {}, c.Zone));
    return el("tr", i === chosen ? { class: "chosen" } : {}, name, el("td", { class: "num" }, el("span", { class: "dli" }, c.DLI), el("small", {}, `± ${c.SD}`)),
      el("td", { class: "num" }, c.Target), el("td", { class: `verdict ${kind(c.Verdict)}` }, `${sign(c.Verdict)} ${c.Verdict}`, bar(c)));
  }));
  if (shown !== undefined) body.querySelector(`[data-coral="${shown}"]`)?.focus();
}

// bar draws the share of the target against the tolerance, from none to twice.
function bar(c) {
  const at = (share) => `${Math.min(1, share / 2) * 100}%`;
  const band = el("i"), mark = el("b"), out = el("div", { class: "bar", "aria-hidden": "true" }, band, mark);
  band.style.left = at(c.Low);
  band.style.width = `${(Math.min(2, c.High) - c.Low) * 50}%`;
  mark.style.left = `calc(${at(c.Share)} - 1px)`;
  return out;
}

const spans = [["sunrise", "sunrise.from", "sunrise.to"], ["sunset", "sunset.from", "sunset.to"], ["lit", "on", "off"], ["moonlight", "moonlight.from", "moonlight.to"]];

// Levels is the table of the day's entries.
export class Levels {
  rows = [];

  // does: level(entry, percent), time(entry, key, time)
  constructor(body, does) { Object.assign(this, { body, does }); }

  view(v, tank, waiting) {
    const own = v.Levels.filter((l) => l.Channels.some((c) => v.Channels[c].Tank === tank));
    const built = own.map((l) => `${l.Kind} ${l.Channels} ${Object.keys(l.Times)} ${l.Channels.map((c) => v.Channels[c].Name)} ${l.Percent === ""}`).join("|");
    if (built !== this.built) { this.built = built; this.make(v, own); }
    own.forEach((l, i) => {
      const row = this.rows[i];
      row.level = l;
      row.inputs.forEach((input, k) => {
        if (!waiting.some((w) => w.key === `level ${l.Channels[k]}`)) settle(input, l.Percent || String(Math.round(1e5 * l.Now[k]) / 1e3));
      });
      for (const [key, input] of Object.entries(row.times)) if (!waiting.some((w) => w.key === `${key} ${l.Entry}`)) settle(input, l.Times[key]);
      row.light.textContent = (new Set(l.Light).size === 1 ? l.Light[0] : l.Channels.map((c, k) => `${v.Channels[c].Name}: ${l.Light[k]}`).join("; ")) + (l.Found ? ` (${l.Found})` : "");
    });
  }

  make(v, own) {
    const at = this.body.contains(document.activeElement) ? document.activeElement.getAttribute("aria-label") : null;
    this.rows = own.map((l) => this.row(v, l));
    this.body.replaceChildren(...this.rows.map((r) => r.tr));
    if (at) [...this.body.querySelectorAll("[aria-label]")].find((e) => e.getAttribute("aria-label") === at)?.focus();
  }

  row(v, l) {
    const names = l.Channels.map((c) => v.Channels[c].Name).join(", "), row = { times: {}, inputs: [], light: el("small") };
    const head = el("th", { scope: "row" }, ...l.Channels.flatMap((c, i) => [el("span", {}, swatch(v.Channels[c].Colour), v.Channels[c].Name), i < l.Channels.length - 1 ? el("br") : ""]));
    const level = el("td", {});
    if (l.Kind === "switched") level.append("on or off");
    else if (l.Percent !== "") level.append(this.nudge(row, names, 0, false));
    else l.Channels.forEach((c, k) => level.append(el("div", {}, this.nudge(row, v.Channels[c].Name, k, true), el("small", {}, v.Channels[c].Name))));
    level.append(row.light);
    const hours = el("div", { class: "hours" });
    for (const [word, from, to] of spans) {
      if (!(from in l.Times)) continue;
      const ends = [[from, "from"], [to, "to"]].map(([key, end]) => {
        const input = clock(`${names}: ${word} ${end}`, (time) => this.does.time(row.level, key, time));
        input.addEventListener("blur", () => settle(input, row.level.Times[key], true));
        return row.times[key] = input;
      });
      hours.append(el("span", {}, el("em", {}, word), ends[0], "to", ends[1]));
    }
    row.tr = el("tr", {}, head, level, el("td", {}, hours));
    return row;
  }

  // nudge is a number with − and + about it: the level of an entry, or of its k-th channel alone.
  nudge(row, names, k, alone) {
    const input = el("input", { type: "number", min: 0, max: 100, step: "any", "aria-label": `${names}: peak level, % of full output`, "data-level": "" });
    const set = (v) => { input.value = String(Math.round(Math.min(100, Math.max(0, v)) * 1000) / 1000); input.dispatchEvent(new Event("input")); };
    input.addEventListener("input", () => {
      const v = input.valueAsNumber;
      if (v >= 0 && v <= 100) this.does.level(row.level, v, alone ? k : -1);
    });
    input.addEventListener("blur", () => settle(input, row.level.Percent || String(Math.round(1e5 * row.level.Now[k]) / 1e3), true));
    const now = () => (Number.isFinite(input.valueAsNumber) ? input.valueAsNumber : 100 * row.level.Now[k]);
    const step = (by, text, word) => {
      const b = el("button", { type: "button", class: "step", "aria-label": `${names}: ${word}` }, text);
      b.addEventListener("click", (e) => set(now() + by * (e.shiftKey ? 5 : 1)));
      return b;
    };
    row.inputs.push(input);
    return el("span", { class: "nudge" }, step(-1, "−", "lower"), input, step(1, "+", "higher"));
  }
}

// clock is a time of day to type, or to move by five minutes with the arrow keys.
function clock(label, set) {
  const input = el("input", { type: "text", class: "time", inputmode: "numeric", autocomplete: "off", "aria-label": label, title: "arrow up and down: five minutes" });
  input.addEventListener("change", () => set(input.value));
  input.addEventListener("keydown", (e) => {
    const by = { ArrowUp: 5, ArrowDown: -5 }[e.key];
    const at = /^([0-9]{1,2}):([0-9]{2})$/.exec(input.value);
    if (!by || !at) return;
    e.preventDefault();
    const m = (60 * at[1] + +at[2] + by + 1440) % 1440, two = (n) => String(n).padStart(2, "0");
    input.value = `${two(Math.floor(m / 60))}:${two(m % 60)}`;
    set(input.value);
  });
  return input;
}

// settle gives an input the program's value, but leaves what is being typed.
function settle(input, value, left = false) {
  if (!left && document.activeElement === input && input.value !== "" && Number(input.value) === Number(value)) return;
  if (input.value !== value) input.value = value;
}
