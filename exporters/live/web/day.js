// The day at a coral: PPFD over the hours, each channel's part in the colour of its own
// spectrum, one on the other. The cursor is the moment that the tank shows.

export class Day {
  at = 43200; shown = false; scale = [];

  constructor(canvas, chosen) {
    this.canvas = canvas;
    const pick = (e) => {
      const r = canvas.getBoundingClientRect();
      chosen(Math.round(Math.min(1, Math.max(0, (e.clientX - r.left - this.left) / (r.width - this.left - 8))) * 288) * 300);
    };
    canvas.addEventListener("pointerdown", (e) => { canvas.setPointerCapture(e.pointerId); pick(e); });
    canvas.addEventListener("pointermove", (e) => { if (canvas.hasPointerCapture(e.pointerId)) pick(e); });
    new ResizeObserver(() => this.paint()).observe(canvas);
  }

  left = 44;

  view(v, coral, scale) { Object.assign(this, { v, coral, scale }); this.paint(); }

  paint() {
    if (!this.v || !this.coral) return;
    const { canvas, v, coral } = this, ratio = devicePixelRatio || 1, w = canvas.clientWidth, h = canvas.clientHeight;
    canvas.width = w * ratio; canvas.height = h * ratio;
    const g = canvas.getContext("2d");
    g.scale(ratio, ratio);
    g.clearRect(0, 0, w, h);
    const left = this.left, right = w - 8, top = 22, foot = h - 22, n = v.Channels[0].Curve.length;
    const parts = v.Channels.map((c, i) => ({ colour: c.Colour, y: c.Curve.map((k) => k * coral.Full[i] * (this.scale[i] ?? 1)) }));
    const total = new Float64Array(n);
    for (const p of parts) p.y.forEach((y, i) => { total[i] += y; });
    const hi = Math.max(...total, 1e-9), step = tick(hi), ceil = Math.max(step, Math.ceil(hi / step - 1e-9) * step);
    const X = (i) => left + i / (n - 1) * (right - left), Y = (y) => foot - y / ceil * (foot - top);
    this.axes(g, { left, right, foot, step, ceil, Y, w });
    let base = new Float64Array(n);
    for (const p of parts) {
      const next = base.map((b, i) => b + p.y[i]);
      g.beginPath();
      for (let i = 0; i < n; i++) g.lineTo(X(i), Y(next[i]));
      for (let i = n - 1; i >= 0; i--) g.lineTo(X(i), Y(base[i]));
      g.closePath();
      g.fillStyle = p.colour;
      g.fill();
      g.strokeStyle = "#0e1826"; g.lineWidth = 1;
      g.stroke();
      base = next;
    }
    if (this.shown) {
      const x = left + this.at / 86400 * (right - left);
      g.strokeStyle = "#fff"; g.lineWidth = 1.5;
      g.beginPath(); g.moveTo(x, top); g.lineTo(x, foot); g.stroke();
    }
  }

  axes(g, { left, right, foot, step, ceil, Y, w }) {
    g.font = "12px system-ui, sans-serif"; g.fillStyle = "#cfdbdd"; g.strokeStyle = "#cfdbdd40"; g.lineWidth = 1;
    g.textAlign = "right"; g.textBaseline = "middle";
    for (let y = 0; y <= ceil * 1.0001; y += step) {
      g.beginPath(); g.moveTo(left, Y(y)); g.lineTo(right, Y(y)); g.stroke();
      g.fillText(String(+y.toPrecision(6)), left - 5, Y(y));
    }
    g.textBaseline = "top";
    for (let hour = 0; hour <= 24; hour += w < 480 ? 6 : 3) {
      g.textAlign = hour === 24 ? "right" : hour === 0 ? "left" : "center";
      g.fillText(`${hour}:00`, left + hour / 24 * (right - left), foot + 5);
    }
    g.textAlign = "left";
    g.fillText("PPFD, µmol/m²/s", left + 4, 4);
  }
}

function tick(hi) {
  const raw = hi / 4, ten = 10 ** Math.floor(Math.log10(raw));
  return ([1, 2, 2.5, 5].find((m) => m * ten >= raw) ?? 10) * ten;
}
