// Talking to the program. Edits go one after the other, of those that wait only the
// last of each value; of maps only the newest ask is sent.

async function answer(response) {
  if (response.status === 403) throw new Error("This page's session is over. Start dayloom open again.");
  const out = await response.json();
  if (!response.ok) throw new Error(out.error);
  return out;
}

export const get = async (path) => answer(await fetch(path));

const send = (path, value) =>
  fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(value) });

export const post = async (path, value = {}) => answer(await send(path, value));

// Edits in a row. done hears each view with the edits that still wait; failed hears errors.
export class Edits {
  waiting = [];
  busy = false;
  last = { key: "", at: 0 };

  constructor(done, failed) { this.done = done; this.failed = failed; }

  add(key, edit) {
    const now = performance.now();
    edit.more = this.last.key === key && now - this.last.at < 1500;
    this.last = { key, at: now };
    const same = this.waiting.find((w) => w.key === key);
    if (same) same.edit = { ...edit, more: same.edit.more };
    else this.waiting.push({ key, edit });
    this.run();
  }

  // forget makes the next edit one of its own for undo.
  forget() { this.last = { key: "", at: 0 }; }

  async run() {
    if (this.busy) return;
    this.busy = true;
    while (this.waiting.length) {
      const { edit } = this.waiting.shift();
      try { this.done(await post("/api/edit", edit), this.waiting); } catch (e) { this.waiting = []; this.failed(e); }
    }
    this.busy = false;
  }
}

let number = Date.now();

// One ask for maps at a time; a newer one takes the place of one that waits.
export class Maps {
  next = null;
  busy = false;

  constructor(got, failed) { this.got = got; this.failed = failed; }

  ask(what, note) {
    this.next = { what, note };
    this.run();
  }

  async run() {
    if (this.busy) return;
    this.busy = true;
    while (this.next) {
      const { what, note } = this.next;
      this.next = null;
      try {
        const response = await send("/api/map", { ...what, number: ++number });
        if (response.status === 204) continue;
        if (!response.ok) await answer(response);
        this.got(read(await response.arrayBuffer()), note);
      } catch (e) { this.failed(e); }
    }
    this.busy = false;
  }
}

// read takes maps apart, see maps.go.
function read(buffer) {
  const [nx, ny, n] = new Uint32Array(buffer, 0, 3);
  const ids = new Uint32Array(buffer, 12, n);
  const maps = new Map();
  ids.forEach((id, k) => maps.set(id, new Float32Array(buffer, 12 + 4 * n + 4 * k * nx * ny, nx * ny)));
  return { nx, ny, maps };
}
