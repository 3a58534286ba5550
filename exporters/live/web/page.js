// The page: joins the tables, the tank and the day with the program.

import { Edits, Maps, get, post } from "./api.js";
import { Changes } from "./changes.js";
import { Day } from "./day.js";
import { Marks } from "./marks.js";
import { Levels, corals, el, swatch } from "./tables.js";
import { Water } from "./water.js";

const $ = (id) => document.getElementById(id);

let v = null;         // what the program said last
let tank = 0;         // the tank looked at
let chosen = 0;       // the coral looked at
let scale = [];       // by channel: a level in hand against the program's last
let drawn = [];       // by channel: the version of its map
let depth = null;     // m, of the plane

const water = new Water($("room"), $("water"), $("scale"), (note) => document.dispatchEvent(new CustomEvent("painted", { detail: note })));
const maps = new Maps((got, note) => {
  if (note.depth !== depth || note.tank !== tank) return;
  water.put(got);
  for (const [id, version] of note.versions) drawn[id] = version;
  weigh();
  water.soon(note.lamp);
}, failed);
const edits = new Edits((view, waiting) => show(view, waiting), (e) => { failed(e); show(v, []); });
const day = new Day($("day"), (t) => { $("quantity").value = "ppfd"; moment(t); });
const levels = new Levels($("level-rows"), {
  level(l, percent, k) {
    const edit = { kind: "level", entry: l.Entry, channel: l.Channels[Math.max(k, 0)], alone: k >= 0, percent };
    inHand(edit);
    weigh();
    day.view(v, v.Corals[chosen], scale);
    edits.add(`level ${edit.channel}`, edit);
  },
  time(l, key, time) { edits.add(`${key} ${l.Entry}`, { kind: "time", entry: l.Entry, channel: l.Channels[0], key, time }); },
});
const marks = new Marks(water, $("marks"), $("bodies"), {
  choose,
  moving(t) { if (t.coral === undefined) maps.ask({ depth, channels: [], lamp: lampEdit(t) }, { depth, tank, versions: [], lamp: t.lamp }); },
  moved(t, more) {
    if (!more) edits.forget();
    if (t.coral === undefined) edits.add(`lamp ${t.lamp}`, lampEdit(t));
    else edits.add(`coral ${t.coral}`, { kind: "coral", coral: t.coral, x: t.x, y: t.y, depth: t.z });
  },
});
const lampEdit = (t) => ({ kind: "lamp", channel: t.at.Channels[0], emitter: t.at.Emitter, x: t.x, y: t.y, height: t.z });
const changes = new Changes($, (view) => show(view, []), failed);

// inHand draws a level before the program has answered.
function inHand(edit) {
  const l = v.Levels.find((l) => l.Entry >= edit.entry && l.Channels.includes(edit.channel));
  l?.Channels.forEach((c, k) => {
    const was = l.Now[k] ?? l.Now[0];
    if (was > 0 && (!edit.alone || c === edit.channel)) scale[c] = edit.percent / 100 / was;
  });
}

// weigh tells the tank what each channel counts for.
function weigh() {
  const dli = $("quantity").value === "dli", at = Math.round(day.at / 300);
  $("unit").textContent = dli ? "DLI at the plane, mol/m²/d" : "PPFD at the plane, µmol/m²/s";
  water.unit = dli ? "mol/m²/d" : "µmol/m²/s";
  water.weigh(v.Channels.map((c, i) => (scale[i] ?? 1) * c.Age * (dli ? c.DoseS * 1e-6 : c.Curve[at])));
}

// draw asks for the maps that are not as they should be.
function draw() {
  const stale = v.Channels.map((c, i) => i).filter((i) => v.Channels[i].Tank === tank && drawn[i] !== v.Channels[i].Version);
  if (stale.length) maps.ask({ depth, channels: stale }, { depth, tank, versions: stale.map((i) => [i, v.Channels[i].Version]) });
}

function show(view, waiting) {
  v = view;
  tank = Math.min(tank, v.Tanks.length - 1);
  if (v.Corals[chosen]?.Tank !== tank) chosen = Math.max(0, v.Corals.findIndex((c) => c.Tank === tank));
  scale = [];
  for (const w of waiting) if (w.edit.kind === "level") inHand(w.edit);
  if (depth === null) { depth = v.Tanks[tank].Plane; $("depth").max = 100 * v.Tanks[tank].Depth; $("depth").value = String(Math.round(1000 * depth) / 10); }
  document.title = `${v.Name}, ${v.Date}`;
  $("name").textContent = v.Name;
  $("file").textContent = v.File;
  if (document.activeElement !== $("date")) $("date").value = v.Date;
  if ($("summary").textContent !== v.Summary) $("summary").textContent = v.Summary;
  $("undo").disabled = !v.Undo; $("redo").disabled = !v.Redo; $("show").disabled = !v.Edited;
  if (!marks.held) { water.view(v.Tanks[tank], v.Lamps.filter((l) => l.Tank === tank), v.Shades); marks.view(v, tank, chosen); }
  levels.view(v, tank, waiting);
  lists();
  look();
  weigh();
  draw();
  if (v.Wrote) $("done").textContent = `wrote ${v.Wrote}`;
}

function lists() {
  $("tank-label").hidden = v.Tanks.length < 2;
  $("which").replaceChildren(...v.Tanks.map((t, i) => new Option(t.Name, i, false, i === tank)));
  $("electric").replaceChildren(...v.Electric.map((t) => el("li", {}, t)));
  $("notes").replaceChildren(...(v.Notes ?? []).map((t) => el("li", {}, t)));
  $("cautions").replaceChildren(...v.Cautions.map((t) => el("li", {}, t)));
  $("proof").hidden = !v.Proof;
  $("proof-text").textContent = v.Proof;
}

// look shows the chosen coral.
function look() {
  const c = v.Corals[chosen];
  corals($("coral-rows"), v, tank, chosen, choose);
  $("day-name").textContent = c.Name;
  $("day-words").textContent = `DLI ${c.DLI} ± ${c.SD} of ${c.Target} mol/m²/d: ${c.Verdict}. Peak PPFD ${c.Peak} µmol/m²/s at ${c.PeakAt}; photoperiod ${c.Photoperiod} h. From ${c.Source}.`;
  $("day").setAttribute("aria-label", `The light of the day, channel on channel. ${c.Words}`);
  $("water").setAttribute("aria-label", `Light on the plane at ${$("depth").value} cm, from above. ${v.Summary}`);
  $("day-key").replaceChildren(...v.Channels.map((ch, i) => ({ ch, full: c.Full[i] })).filter(({ ch, full }) => ch.DoseS > 0 && full > 0)
    .map(({ ch }) => el("li", {}, swatch(ch.Colour), ch.Name)));
  day.view(v, c, scale);
}

function choose(i) {
  chosen = i;
  look();
  marks.view(v, tank, chosen);
}

function moment(t) {
  day.at = t;
  day.shown = $("quantity").value === "ppfd";
  $("moment-label").hidden = !day.shown;
  const two = (n) => String(n).padStart(2, "0");
  $("moment").value = `${two(Math.floor(t / 3600) % 24)}:${two(Math.floor(t / 60) % 60)}`;
  day.paint();
  if (v) weigh();
}

function failed(e) {
  $("trouble").hidden = false;
  $("trouble").querySelector("pre").textContent = e.message;
}

const act = (path, value) => async () => {
  edits.forget();
  try { show(await post(path, value), []); } catch (e) { failed(e); }
};

// busy keeps a button from being pressed twice while the program works.
const busy = (button, work) => async () => {
  button.disabled = true;
  await work();
  button.disabled = false;
};

$("undo").addEventListener("click", act("/api/step", { by: -1 }));
$("redo").addEventListener("click", act("/api/step", { by: 1 }));
$("balance").addEventListener("click", busy($("balance"), act("/api/balance")));
$("reload").addEventListener("click", async () => { drawn = []; await act("/api/reload")(); $("stale").hidden = true; });
$("show").addEventListener("click", () => changes.open());
$("heard").addEventListener("click", () => { $("trouble").hidden = true; });
$("date").addEventListener("change", () => { act("/api/date", { date: $("date").value })(); });
$("quantity").addEventListener("change", () => moment(day.at));
$("moment").addEventListener("change", () => {
  const at = /^([0-9]{1,2}):([0-9]{2})$/.exec($("moment").value);
  moment(at ? Math.min(86400, 3600 * at[1] + 60 * at[2]) : day.at);
});
$("moment").addEventListener("keydown", (e) => {
  const by = { ArrowUp: 900, ArrowDown: -900 }[e.key];
  if (!by) return;
  e.preventDefault();
  moment(Math.min(86400, Math.max(0, day.at + by)));
});
$("depth").addEventListener("input", () => {
  const cm = $("depth").valueAsNumber;
  if (!(cm >= 0 && cm <= 100 * v.Tanks[tank].Depth)) return;
  depth = cm / 100;
  drawn = [];
  draw();
});
for (const b of document.querySelectorAll("[data-for]")) b.addEventListener("click", (e) => {
  const input = $(b.dataset.for);
  input.value = String(Math.min(input.max, Math.max(0, input.valueAsNumber + Number(b.dataset.by) * (e.shiftKey ? 5 : 1))));
  input.dispatchEvent(new Event("input"));
});
$("which").addEventListener("change", () => {
  tank = Number($("which").value);
  depth = null;
  drawn = [];
  water.clear();
  show(v, edits.waiting);
});
$("lamps").addEventListener("change", () => { marks.lampsShown = $("lamps").checked; marks.lay(); });
document.addEventListener("keydown", (e) => {
  if (!(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z" || $("changes").open) return;
  e.preventDefault();
  $(e.shiftKey ? "redo" : "undo").click();
});

// watch asks now and then whether the plan is another on the disk.
async function watch() {
  if (document.visibilityState === "visible") {
    try { if ((await get("/api/watch")).changed) $("stale").hidden = false; } catch (e) { failed(e); return; }
  }
  setTimeout(watch, 2000);
}

marks.lampsShown = true;
get("/api/view").then((view) => { show(view, []); watch(); }, failed);
