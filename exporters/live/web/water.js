// The tank from above: light on a plane, drawn in bands, with lamps and corals over it.
// Here numbers become pixels; none is printed but the edges of the bands.

// bands are some 6 to 13 round steps of light, as the program's own pictures have them.
function bands(hi) {
  if (!(hi > 0)) return { step: 1, n: 1 };
  const raw = hi / 9, ten = 10 ** Math.floor(Math.log10(raw));
  const m = [1, 2, 2.5, 5].find((m) => m * ten >= 0.8 * raw) ?? 10;
  return { step: m * ten, n: Math.max(1, Math.ceil(hi / (m * ten) - 1e-9)) };
}

const rgb = (hex) => [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));

export class Water {
  maps = new Map(); // by channel: Float32Array
  nx = 0; ny = 0; weights = [];
  wanted = false;

  constructor(room, canvas, scale, painted) {
    Object.assign(this, { room, canvas, scale, painted });
    this.paper = document.createElement("canvas");
    new ResizeObserver(() => this.lay()).observe(room);
  }

  // view tells of the tank and the lamps about it.
  view(v, lamps, shades) {
    this.tank = v;
    this.shades = shades.map(rgb);
    this.hex = shades;
    const xs = [0, v.Length], ys = [0, v.Width];
    for (const l of lamps) for (const [x, y] of l.Corners) { xs.push(x); ys.push(y); }
    const clamp = (a, lo, hi) => Math.min(hi, Math.max(lo, a));
    const edge = 0.05 * Math.max(v.Length, v.Width);
    this.box = {
      x0: clamp(Math.min(...xs), -v.Length / 2, 0) - edge, x1: clamp(Math.max(...xs), v.Length, 1.5 * v.Length) + edge,
      y0: clamp(Math.min(...ys), -v.Width, 0) - edge, y1: clamp(Math.max(...ys), v.Width, 2 * v.Width) + edge,
    };
    this.room.classList.toggle("long", v.Length > 2 * v.Width);
    this.lay();
  }

  lay() {
    if (!this.tank) return;
    const { x0, x1, y0, y1 } = this.box, width = this.room.clientWidth;
    this.size = width / (x1 - x0); // px per m
    this.room.style.height = `${this.size * (y1 - y0)}px`;
    const c = this.canvas, w = Math.round(this.tank.Length * this.size), h = Math.round(this.tank.Width * this.size);
    c.style.left = `${-x0 * this.size}px`;
    c.style.top = `${(y1 - this.tank.Width) * this.size}px`;
    c.style.width = `${w}px`;
    c.style.height = `${h}px`;
    this.paper.width = Math.max(1, Math.min(w, 900));
    this.paper.height = Math.max(1, Math.round(this.paper.width * this.tank.Width / this.tank.Length));
    c.width = this.paper.width; c.height = this.paper.height;
    this.laid?.();
    this.soon();
  }

  // px is where a place stands in the room; from the other way.
  px(x, y) { return [(x - this.box.x0) * this.size, (this.box.y1 - y) * this.size]; }
  from(px, py) { return [px / this.size + this.box.x0, this.box.y1 - py / this.size]; }

  put({ nx, ny, maps }) {
    if (nx !== this.nx || ny !== this.ny) this.clear();
    this.nx = nx; this.ny = ny;
    for (const [id, map] of maps) this.maps.set(id, map);
  }

  clear() { this.maps.clear(); }

  weigh(weights) { this.weights = weights; this.soon(); }

  // soon paints once before the next frame.
  soon(note) {
    if (note !== undefined) this.note = note;
    if (this.wanted) return;
    this.wanted = true;
    requestAnimationFrame(() => {
      this.wanted = false;
      this.paint();
      const note = this.note;
      this.note = undefined;
      this.painted(note);
    });
  }

  paint() {
    const { nx, ny } = this;
    if (!nx || !this.tank) return;
    const sum = new Float32Array(nx * ny);
    for (const [id, map] of this.maps) {
      const w = this.weights[id] ?? 0;
      if (w > 0) for (let i = 0; i < sum.length; i++) sum[i] += w * map[i];
    }
    let hi = 0;
    for (const v of sum) if (v > hi) hi = v;
    const b = bands(hi), W = this.canvas.width, H = this.canvas.height;
    const image = new ImageData(W, H), out = new Uint32Array(image.data.buffer);
    const colours = Array.from({ length: b.n }, (_, i) => {
      const [r, g, bl] = this.shades[b.n === 1 ? 32 : Math.round(i / (b.n - 1) * (this.shades.length - 1))];
      return (255 << 24 | bl << 16 | g << 8 | r) >>> 0;
    });
    const fx = (nx - 1) / Math.max(1, W - 1), fy = (ny - 1) / Math.max(1, H - 1);
    for (let py = 0; py < H; py++) { // straight between the places of the map
      const y = (H - 1 - py) * fy, j = Math.min(ny - 2, y | 0), v = y - j, row = j * nx;
      for (let px = 0; px < W; px++) {
        const x = px * fx, i = Math.min(nx - 2, x | 0), u = x - i, k = row + i;
        const low = sum[k] + u * (sum[k + 1] - sum[k]), high = sum[k + nx] + u * (sum[k + nx + 1] - sum[k + nx]);
        out[py * W + px] = colours[Math.min(b.n - 1, (low + v * (high - low)) / b.step | 0)];
      }
    }
    this.canvas.getContext("2d").putImageData(image, 0, 0);
    this.key(b, hi);
  }

  // key writes the edges of the bands below the tank.
  key(b, hi) {
    const is = `${b.step} ${b.n} ${this.unit}`;
    if (is === this.keyed) return;
    this.keyed = is;
    const digits = Math.max(0, -Math.floor(Math.log10(b.step) + 1e-9) + (String(b.step).includes("25") ? 1 : 0));
    this.scale.replaceChildren(...Array.from({ length: b.n }, (_, i) => {
      const li = document.createElement("li");
      li.textContent = (i * b.step).toFixed(Math.min(digits, 6));
      li.style.borderTopColor = this.hex[b.n === 1 ? 32 : Math.round(i / (b.n - 1) * (this.hex.length - 1))];
      return li;
    }));
  }
}
