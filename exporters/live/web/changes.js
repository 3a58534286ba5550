// What would change in the plan's file, shown before it is written.

import { get, post } from "./api.js";
import { el } from "./tables.js";

export class Changes {
  constructor($, wrote, failed) {
    Object.assign(this, { $, wrote, failed });
    $("close").addEventListener("click", () => $("changes").close());
    $("write").addEventListener("click", () => this.write());
  }

  async open() {
    try {
      const { lines, mark } = await get("/api/changes");
      this.mark = mark;
      const gone = lines.filter((l) => l.sign === "-").length, come = lines.filter((l) => l.sign === "+").length;
      this.$("changes-words").textContent = lines.length
        ? `${gone} taken out (−), ${come} put in (+). The plan as it is now is kept beside it, its name ending in .bak.` : "No line changes.";
      this.$("write").disabled = !lines.length;
      this.$("lines").replaceChildren(...lines.flatMap((l) => [line(l), "\n"]));
      this.$("changes").showModal();
    } catch (e) { this.failed(e); }
  }

  async write() {
    try {
      const view = await post("/api/write", { mark: this.mark });
      this.$("changes").close();
      this.wrote(view);
    } catch (e) {
      this.$("changes").close();
      this.failed(e);
    }
  }
}

const line = ({ sign, text }) => {
  if (sign === "-") return el("del", {}, `− ${text}`);
  if (sign === "+") return el("ins", {}, `+ ${text}`);
  return el("span", {}, sign === "@" ? `@${text}` : `  ${text}`);
};
