// The drawings of a board: from above, its edge, and cut across at a fret.  A touch opens what it is about.

import { drawing, make } from "./elements.js";
import { DRAWN } from "./kept.js";

const SIZED_AFTER_MS = 120;

export class Drawings {
  constructor(board) {
    this.board = board;
    this.drawn = {};
    this.plan = make("div", { class: "drawn" });
    this.edge = make("div", { class: "drawn" });
    this.section = make("div", { class: "drawn" });
    this.long = make("figure", { class: "long" }, this.plan, this.edge, make("figcaption", {}, "From above, and the edge with the side dots as the player sees it. Touch a slot, a dot or a figure to open it."));
    this.fret = make("select", { id: "section-fret", onchange: () => board.cutAt(Number(this.fret.value)) });
    const step = (by, called, sign) => make("button", { type: "button", "aria-label": called, onclick: () => this.step(by) }, sign);
    this.across = make(
      "figure",
      { class: "across" },
      make("figcaption", {}, make("label", { htmlFor: "section-fret" }, "Cut across at fret"), step(-1, "One fret toward the nut", "‹"), this.fret, step(1, "One fret toward the bridge", "›")),
      this.section,
    );
    for (const each of [this.plan, this.edge, this.section]) each.addEventListener("click", (event) => this.touched(event));
  }

  sizes() {
    return { wide: Math.round(this.plan.clientWidth || 1200), section: Math.round(this.section.clientWidth || 460) };
  }

  sized() {
    clearTimeout(this.sizer);
    this.sizer = setTimeout(() => this.board.lookOrTell(), SIZED_AFTER_MS);
  }

  show() {
    const { drawings, wood } = this.board.view;
    const stale = !drawings;
    this.long.classList.toggle("stale", stale);
    this.across.classList.toggle("stale", stale);
    if (stale) return;
    for (const each of [this.long, this.across]) each.dataset.wood = wood;
    for (const name of DRAWN) this.draw(name, drawings[name]);
    const options = drawings.frets.map(({ number, called }) => make("option", { value: String(number) }, called));
    this.fret.replaceChildren(...options);
    this.fret.value = String(drawings.fret);
    this.light(this.lit);
  }

  // A drawing that is as it was stays in its place.
  draw(name, text) {
    if (this.drawn[name] === text) return;
    this.drawn[name] = text;
    this[name].replaceChildren(drawing(text));
  }

  step(by) {
    const at = this.fret.selectedIndex + by;
    if (at < 0 || at >= this.fret.options.length) return;
    this.board.cutAt(Number(this.fret.options[at].value));
  }

  touched(event) {
    const part = event.target.closest("[data-figure], [data-table]");
    const number = /^fret (\d+)/.exec(event.target.closest("[data-name]")?.dataset.name ?? "");
    if (number) this.board.cutAt(Number(number[1]));
    if (!part) return;
    this.board.open(part.dataset.figure ? part.dataset.figure.split(".") : [part.dataset.table]);
  }

  // Light up what a field is about: its dimension, or its cuts.
  light(place) {
    this.lit = place;
    for (const each of document.querySelectorAll(".lit")) each.classList.remove("lit");
    if (!place) return;
    const figures = document.querySelectorAll(`[data-figure="${CSS.escape(place.join("."))}"]`);
    const cuts = document.querySelectorAll(`svg [data-table="${CSS.escape(String(place[0]))}"]:not(.wood):not(.numbers)`);
    for (const each of figures.length ? figures : cuts) each.classList.add("lit");
  }
}
