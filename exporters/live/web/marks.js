// Corals and lamps over the tank: buttons to choose, drag and move by arrow keys.

const signs = { met: "✓", low: "↓", high: "↑", "under limit": "↓", "over limit": "!" };
const kinds = { met: "met", low: "low", high: "high", "under limit": "low", "over limit": "high" };

export const sign = (verdict) => signs[verdict] ?? "?";
export const kind = (verdict) => kinds[verdict] ?? "high";

const clamp = (v, lo, hi) => Math.min(hi, Math.max(lo, v));
const mm = (v) => Math.round(v * 1000) / 1000;

export class Marks {
  buttons = []; // corals first, then lamps
  held = null;

  // does: choose(coral), moving(what, place), moved(what, place)
  constructor(water, layer, bodies, does) {
    Object.assign(this, { water, layer, bodies, does });
    water.laid = () => this.lay();
  }

  view(v, tank, chosen) {
    this.v = v;
    this.tank = v.Tanks[tank];
    this.chosen = chosen;
    const things = [
      ...v.Corals.map((c, i) => ({ coral: i, at: c })),
      ...v.Lamps.map((l, i) => ({ lamp: i, at: l })),
    ].filter((t) => t.at.Tank === tank && !t.at.Area);
    if (things.length !== this.buttons.length || things.some((t, i) => t.coral !== this.buttons[i].thing.coral)) this.make(things);
    this.buttons.forEach((b, i) => { b.thing = { ...things[i], x: things[i].at.X, y: things[i].at.Y, z: things[i].at.Depth ?? things[i].at.Height }; });
    this.lay();
  }

  make(things) {
    this.buttons = things.map((thing) => {
      const el = document.createElement("button");
      el.type = "button";
      el.className = thing.coral === undefined ? "mark lamp" : "mark coral";
      const b = { el, thing };
      el.addEventListener("click", () => { if (b.thing.coral !== undefined) this.does.choose(b.thing.coral); });
      el.addEventListener("keydown", (e) => this.key(b, e));
      this.draggable(el, b);
      return b;
    });
    this.layer.replaceChildren(...this.buttons.map((b) => b.el));
  }

  draggable(el, b) {
    el.addEventListener("pointerdown", (e) => {
      if (b.thing.at.Fixed || e.button !== 0) return;
      el.setPointerCapture(e.pointerId);
      this.held = { b, px: e.clientX, py: e.clientY, x: b.thing.x, y: b.thing.y, far: false };
    });
    el.addEventListener("pointermove", (e) => {
      const h = this.held;
      if (!h || h.b !== b) return;
      const dx = (e.clientX - h.px) / this.water.size, dy = (h.py - e.clientY) / this.water.size;
      h.far ||= Math.hypot(e.clientX - h.px, e.clientY - h.py) > 3;
      if (h.far) this.go(b, h.x + dx, h.y + dy, b.thing.z, false);
    });
    const drop = () => {
      const h = this.held;
      if (!h || h.b !== b) return;
      this.held = null;
      if (h.far) this.does.moved(b.thing, false);
    };
    el.addEventListener("pointerup", drop);
    el.addEventListener("pointercancel", drop);
  }

  key(b, e) {
    const far = e.shiftKey ? 0.05 : 0.01;
    const [dx, dy, dz] = { ArrowLeft: [-1, 0, 0], ArrowRight: [1, 0, 0], ArrowUp: [0, 1, 0], ArrowDown: [0, -1, 0],
      PageUp: [0, 0, -1], PageDown: [0, 0, 1] }[e.key] ?? [0, 0, 0];
    if (!dx && !dy && !dz || b.thing.at.Fixed) return;
    e.preventDefault();
    const rise = b.thing.coral === undefined ? -dz : dz;
    this.go(b, b.thing.x + dx * far, b.thing.y + dy * far, b.thing.z + rise * far, true);
  }

  // go moves a mark at once; the program hears of it.
  go(b, x, y, z, settled) {
    const t = b.thing, v = this.tank, lamp = t.coral === undefined;
    t.x = mm(clamp(x, lamp ? this.water.box.x0 : 0, lamp ? this.water.box.x1 : v.Length));
    t.y = mm(clamp(y, lamp ? this.water.box.y0 : 0, lamp ? this.water.box.y1 : v.Width));
    t.z = mm(clamp(z, lamp ? 0.01 : 0, lamp ? 5 : v.Depth));
    this.lay();
    this.does.moving(t);
    if (settled) this.does.moved(t, true);
  }

  lay() {
    if (!this.v || !this.water.size) return;
    this.layer.querySelectorAll(".label").forEach((l) => l.remove());
    const taken = [];
    for (const b of this.buttons) if (b.thing.coral !== undefined) this.layCoral(b, taken);
    if (this.water.room.clientWidth > 480) for (const b of this.buttons) if (b.thing.coral !== undefined) this.label(b, taken);
    this.outlines();
    for (const b of this.buttons) if (b.thing.coral === undefined) this.layLamp(b, taken);
  }

  layCoral({ el, thing }, taken) {
    const c = thing.at, [px, py] = this.water.px(thing.x, thing.y);
    el.style.left = `${px}px`; el.style.top = `${py}px`;
    el.textContent = sign(c.Verdict);
    el.className = `mark coral ${kind(c.Verdict)}`;
    el.setAttribute("aria-pressed", String(thing.coral === this.chosen));
    el.setAttribute("aria-label", `${c.Words}; at ${c.Position}${c.Fixed ? `; ${c.Fixed}` : ""}`);
    el.title = `${c.Words}\n${c.Position}${c.Fixed ? `\n${c.Fixed}` : ""}`;
    taken.push([px - 14, py - 14, px + 14, py + 14]);
  }

  // label names a coral beside its mark where there is room; the table names all.
  label({ thing }, taken) {
    const el = document.createElement("span");
    el.className = "label";
    el.textContent = thing.at.Name;
    el.setAttribute("aria-hidden", "true");
    this.layer.append(el);
    const w = el.offsetWidth, h = el.offsetHeight, [px, py] = this.water.px(thing.x, thing.y);
    const W = this.water.room.clientWidth, H = this.water.room.clientHeight;
    for (const [x, y] of [[px + 15, py - h / 2], [px - 15 - w, py - h / 2], [px - w / 2, py + 15], [px - w / 2, py - 15 - h]]) {
      const box = [x, y, x + w, y + h];
      if (x < 0 || y < 0 || x + w > W || y + h > H || taken.some((t) => t[0] < box[2] && box[0] < t[2] && t[1] < box[3] && box[1] < t[3])) continue;
      el.style.left = `${x}px`; el.style.top = `${y}px`;
      taken.push(box);
      return;
    }
    el.remove();
  }

  layLamp({ el, thing }, taken) {
    const l = thing.at, dx = thing.x - l.X, dy = thing.y - l.Y;
    let spots = [[thing.x, thing.y]];
    if (l.Corners.length === 2) {
      const [[ax, ay], [bx, by]] = l.Corners;
      spots = [0.5, 0.02, 0.98, 0.25, 0.75, 0.12, 0.88, 0.37, 0.63].map((t) => [ax + t * (bx - ax) + dx, ay + t * (by - ay) + dy]);
    }
    if (l.Corners.length === 4) spots.push(...l.Corners.map(([x, y]) => [x + dx, y + dy]));
    const near = [[0, 0], [0, 22], [0, -22], [27, 0], [-27, 0]]; // px aside, for those that hang at one place
    const free = ([px, py]) => taken.every((t) => px + 13 < t[0] || px - 13 > t[2] || py + 11 < t[1] || py - 11 > t[3]);
    const all = spots.map(([x, y]) => this.water.px(x, y));
    const [px, py] = [...all, ...near.map(([x, y]) => [all[0][0] + x, all[0][1] + y])].find(free) ?? all[0];
    taken.push([px - 12, py - 9, px + 12, py + 9]);
    el.style.left = `${px}px`; el.style.top = `${py}px`;
    el.hidden = !this.lampsShown;
    el.disabled = l.Fixed !== "";
    el.style.borderColor = this.v.Channels[l.Channels[0]].Colour;
    el.setAttribute("aria-label", `Lamp ${l.Name}; at ${l.Position}${l.Fixed ? `; ${l.Fixed}` : ""}`);
    el.title = `${l.Name}\n${l.Position}${l.Fixed ? `\n${l.Fixed}` : ""}`;
    el.textContent = "⠿";
  }

  // outlines draws the bodies of the lamps and the tank's walls.
  outlines() {
    const shapes = [];
    const add = (name, attributes) => {
      const s = document.createElementNS("http://www.w3.org/2000/svg", name);
      for (const [k, v] of Object.entries(attributes)) s.setAttribute(k, v);
      shapes.push(s);
    };
    const [x, y] = this.water.px(0, this.tank.Width);
    add("rect", { x, y, width: this.tank.Length * this.water.size, height: this.tank.Width * this.water.size, class: "wall" });
    for (const b of this.buttons) {
      if (b.thing.coral !== undefined || !this.lampsShown) continue;
      const l = b.thing.at, dx = b.thing.x - l.X, dy = b.thing.y - l.Y;
      const points = l.Corners.map(([cx, cy]) => this.water.px(cx + dx, cy + dy));
      const stroke = this.v.Channels[l.Channels[0]].Colour;
      for (const look of [{ class: "under" }, { class: "body", stroke }]) {
        if (points.length === 1) add("circle", { cx: points[0][0], cy: points[0][1], r: 7, ...look });
        else add(points.length === 2 ? "polyline" : "polygon", { points: points.map((p) => p.join(",")).join(" "), ...look });
      }
    }
    this.bodies.replaceChildren(...shapes);
  }
}
