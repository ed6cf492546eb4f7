// What is run, in order, with a box to tick at each step; ticks are remembered while the window is open.

import { make } from "./elements.js";
import { minutes } from "./job.js";

export class Ticks {
  constructor(key, held) {
    this.key = `ticks ${key} ${held.files.join(" ")}`;
    this.done = new Set(JSON.parse(sessionStorage.getItem(this.key) ?? "[]"));
    const setups = Map.groupBy(held.programs, (each) => each.setup);
    this.element = make("ol", { class: "run" }, [...setups].map(([setup, programs]) => make("li", { class: "ticket" }, make("h3", {}, setup ? `${setup} setup` : "programs"), make("ul", {}, programs.map((each) => this.program(each))))));
  }

  program(each) {
    const id = `tick-${each.file}`;
    const what = each.purpose === "point" ? "pointing run, spindle off" : `cutter ${each.cutters.join(", ")}`;
    return make(
      "li",
      { class: "program" },
      this.box(id),
      make("label", { htmlFor: id }, make("span", { class: "file-name" }, each.file), make("span", { class: "soft" }, each.unreadable ? "cannot be read" : `Zero Z on the wood, ${what} · ${each.lines} lines`)),
      make("span", { class: "minutes" }, minutes(each)),
    );
  }

  box(id) {
    const box = make("input", { type: "checkbox", id, checked: this.done.has(id) });
    box.addEventListener("change", () => {
      if (box.checked) this.done.add(id);
      else this.done.delete(id);
      sessionStorage.setItem(this.key, JSON.stringify([...this.done]));
    });
    return box;
  }
}
