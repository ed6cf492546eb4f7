// Where the board was measured to lie: a place of it, and the two figures that the machine showed there.

import { drawing, make } from "./elements.js";

const MOST = 2;

export class Marks {
  constructor(changed) {
    this.changed = changed;
    this.rows = make("div", {});
    this.places = [];
    this.more = make("button", { type: "button", onclick: () => this.add() }, "Add a place");
    this.element = make("div", { class: "marks-measured" }, make("p", { class: "soft" }, "Zero is set at the nut end. Touch the tip down on the centre line at one more place, or at two, and type what the machine shows there: the face is then cut as the board lies."), this.rows, this.more);
  }

  show(places) {
    const first = !this.places.length;
    this.places = places;
    if (first) for (const row of this.rows.children) this.fill(row);
  }

  fill(row) {
    const select = row.querySelector("select");
    select.replaceChildren(...this.places.map((each) => make("option", { value: each.name }, each.name)));
    this.draw(row);
  }

  add() {
    const id = `mark-${this.rows.childElementCount}`;
    const row = make("fieldset", { class: "mark-row" });
    const select = make("select", { id: `${id}-place`, "aria-label": "Where", onchange: () => { this.draw(row); this.changed(); } });
    const line = (axis) => make("input", { type: "text", id: `${id}-${axis}`, "aria-label": axis, class: axis, spellcheck: false, autocomplete: "off", oninput: () => this.changed() });
    const drop = make("button", { type: "button", class: "quiet", onclick: () => { row.remove(); this.more.disabled = false; this.changed(); } }, "Leave it out");
    row.append(make("legend", { class: "spoken" }, "A measured place"), make("div", { class: "touch" }), make("p", { class: "line" }, select, make("span", { "aria-hidden": "true" }, "X"), line("X"), make("span", { "aria-hidden": "true" }, "Y"), line("Y"), drop));
    this.rows.append(row);
    this.fill(row);
    this.more.disabled = this.rows.childElementCount >= MOST;
    select.focus();
  }

  // A picture that says where to touch.
  draw(row) {
    const name = row.querySelector("select").value;
    const far = Math.max(...this.places.map((each) => each.x_mm));
    const at = this.places.find((each) => each.name === name)?.x_mm ?? far;
    const x = 20 + (160 * at) / far;
    const slots = this.places.filter((each) => each.name !== "far end").map((each) => `<path class="cut" d="M${20 + (160 * each.x_mm) / far} 16V46"/>`);
    const shapes = `<path class="wood" d="M20 18 180 12V50L20 44Z"/>${slots.join("")}<path class="line" d="M14 31H26M20 25V37"/><path class="touch-here" d="M${x - 7} 31H${x + 7}M${x} 24V38M${x} 31m-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0"/><text x="20" y="60">zero</text><text x="${x}" y="9">touch here</text>`;
    row.querySelector(".touch").replaceChildren(drawing(`<svg xmlns="http://www.w3.org/2000/svg" class="touch-picture" viewBox="0 0 210 64" role="img"><title>Touch the centre line at ${name === "far end" ? "the far end" : `the slot of ${name}`}</title>${shapes}</svg>`));
  }

  said() {
    return [...this.rows.children].map((row) => {
      const [x, y] = ["X", "Y"].map((axis) => row.querySelector(`input.${axis}`).value.trim());
      const name = row.querySelector("select").value;
      return x || y ? `${name === "far end" ? "" : `${name}=`}${x},${y}` : "";
    }).filter(Boolean);
  }
}
