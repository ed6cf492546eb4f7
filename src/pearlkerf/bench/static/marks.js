// Where the board was measured to lie: a place of it, and the two figures that the machine showed there.

import { drawing, make } from "./elements.js";

const MOST = 2; // from one zero

export class Marks {
  constructor(changed) {
    this.changed = changed;
    this.rows = make("div", {});
    this.places = [];
    this.zeros = [];
    this.added = 0;
    this.more = make("button", { type: "button", onclick: () => this.add() }, "Add a place");
    this.element = make("div", { class: "marks-measured" }, make("p", { class: "soft" }, "Set zero where the setup says. Touch the tip down on the centre line at one more place, or at two, and type what the machine shows there: the face is then cut as the board lies. A position that is zeroed again on a slot is measured from that zero."), this.rows, this.more);
  }

  show(places, zeros) {
    const first = !this.places.length;
    const moved = JSON.stringify(zeros) !== JSON.stringify(this.zeros);
    this.places = places;
    this.zeros = zeros;
    if (first || moved) for (const row of this.rows.children) this.fill(row);
    this.full();
  }

  full() {
    this.more.disabled = this.rows.childElementCount >= MOST * Math.max(1, this.zeros.length);
  }

  fill(row) {
    const [place, zero] = [row.querySelector("select.place"), row.querySelector("select.zero")];
    const chosen = [place.value, zero.value];
    place.replaceChildren(...this.places.map((each) => make("option", { value: each.name }, each.name)));
    zero.replaceChildren(...this.zeros.map((each) => make("option", { value: each.name }, each.called)));
    if (this.places.some((each) => each.name === chosen[0])) place.value = chosen[0];
    if (this.zeros.some((each) => each.name === chosen[1])) zero.value = chosen[1];
    zero.hidden = this.zeros.length < 2;
    this.draw(row);
  }

  add() {
    const id = `mark-${this.added}`;
    this.added += 1;
    const row = make("fieldset", { class: "mark-row" });
    const select = (name, called) => make("select", { id: `${id}-${name}`, class: name, "aria-label": called, onchange: () => { this.draw(row); this.changed(); } });
    const line = (axis) => make("input", { type: "text", id: `${id}-${axis}`, "aria-label": axis, class: axis, spellcheck: false, autocomplete: "off", oninput: () => this.changed() });
    const drop = make("button", { type: "button", class: "quiet", onclick: () => { row.remove(); this.full(); this.changed(); } }, "Leave it out");
    const place = select("place", "Where");
    row.append(make("legend", { class: "spoken" }, "A measured place"), make("div", { class: "touch" }), make("p", { class: "line" }, select("zero", "From which zero"), place, make("span", { "aria-hidden": "true" }, "X"), line("X"), make("span", { "aria-hidden": "true" }, "Y"), line("Y"), drop));
    this.rows.append(row);
    this.fill(row);
    this.full();
    place.focus();
  }

  // A picture that says where to touch, and where zero is.
  draw(row) {
    if (!this.places.length) return;
    const name = row.querySelector("select.place").value;
    const far = Math.max(...this.places.map((each) => each.x_mm));
    const on = (x_mm) => 20 + (160 * x_mm) / far;
    const x = on(this.places.find((each) => each.name === name)?.x_mm ?? far);
    const zero = on(this.zeros.find((each) => each.name === row.querySelector("select.zero").value)?.x_mm ?? 0);
    const slots = this.places.filter((each) => each.name !== "far end").map((each) => `<path class="cut" d="M${on(each.x_mm)} 16V46"/>`);
    const shapes = `<path class="wood" d="M20 18 180 12V50L20 44Z"/>${slots.join("")}<path class="line" d="M${zero - 6} 31H${zero + 6}M${zero} 25V37"/><path class="touch-here" d="M${x - 7} 31H${x + 7}M${x} 24V38M${x} 31m-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0"/><text x="${zero}" y="60">zero</text><text x="${x}" y="9">touch here</text>`;
    row.querySelector(".touch").replaceChildren(drawing(`<svg xmlns="http://www.w3.org/2000/svg" class="touch-picture" viewBox="0 0 210 64" role="img"><title>Touch the centre line at ${name === "far end" ? "the far end" : `the slot of ${name}`}</title>${shapes}</svg>`));
  }

  said() {
    return [...this.rows.children].map((row) => {
      const [x, y] = ["X", "Y"].map((axis) => row.querySelector(`input.${axis}`).value.trim());
      const place = row.querySelector("select.place").value;
      const named = [row.querySelector("select.zero").value, place === "far end" ? "" : place].filter(Boolean).join(" ");
      return x || y ? `${named && `${named}=`}${x},${y}` : "";
    }).filter(Boolean);
  }
}
