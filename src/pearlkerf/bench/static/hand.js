// The piece in hand: what it is, where it lies, in figures that can be typed; and the list of all pieces.

import { make, mark } from "./elements.js";
import { said, whereSaid } from "./outlines.js";

const numbered = (blank) => `${blank.material} ${blank.blank[1]}${blank.count > 1 ? ` of ${blank.count}` : ""}`;
export const blankCalled = (view, blank) => `${numbered(blank)} · ${said(view, blank.length_mm)} × ${said(view, blank.width_mm)} ${view.unit}`;

// With its size only where there are several of its material.
export const called = (view, blank) => (view.blanks.some((each) => each.material === blank.material && each.blank[0] !== blank.blank[0]) ? blankCalled(view, blank) : numbered(blank));

export class InHand {
  constructor(shell) {
    this.shell = shell;
    const field = (id, changed) => make("input", { type: "text", id, spellcheck: false, autocomplete: "off", onchange: changed });
    this.x = field("piece-x", () => this.typed());
    this.y = field("piece-y", () => this.typed());
    this.turned = field("piece-turn", () => this.typed());
    this.blanks = make("select", { id: "piece-blank", onchange: () => this.toBlank() });
    this.head = make("h2", { class: "called" });
    this.goes = make("p", { class: "soft" });
    this.wrong = make("div", { class: "tolds", role: "status" });
    this.turnBy = make("button", { type: "button", onclick: () => this.turn() }, "Turn it");
    this.fix = make("button", { type: "button", onclick: () => shell.place([shell.laid(shell.held)]) }, "Keep it where it lies");
    this.free = make("button", { type: "button", onclick: () => shell.place([{ piece: shell.held, blank: null }]) }, "Let it be packed");
    const line = (word, input, unit) => make("p", { class: "line" }, make("label", { htmlFor: input.id }, word), input, unit);
    this.units = [0, 1].map(() => make("span", { class: "unit" }));
    this.fields = make("div", { class: "in-hand" }, line("On blank", this.blanks), line("Middle, along", this.x, this.units[0]), line("across", this.y, this.units[1]), line("Turned", this.turned, make("span", { class: "unit" }, "degrees")), make("p", { class: "buttons" }, this.turnBy, this.fix, this.free));
    this.none = make("p", { class: "soft" }, "Touch a piece, and drag it over the colour that you want. Its knob, the wheel or R turns it; arrows move it by 0.1 mm, with Shift by 1 mm; Escape puts it back.");
    this.element = make("section", { class: "ticket open" }, make("div", { class: "body first" }, this.head, this.goes, this.none, this.wrong, this.fields));
  }

  show() {
    const { view, held } = this.shell;
    const piece = view.pieces.find((each) => each.name === held);
    const place = this.shell.laid(held);
    this.fields.hidden = !piece;
    this.none.hidden = Boolean(piece);
    this.head.textContent = piece ? `${piece.number} ${piece.name}` : "No piece in hand";
    this.goes.textContent = piece ? `${piece.spare ? "a spare, for" : "goes into"} ${piece.goes} · ${said(view, piece.size_mm[0])} × ${said(view, piece.size_mm[1])} ${view.unit} · its knob is on the side toward the bridge` : "";
    this.told(held, place?.wrong ?? (piece ? "it finds no place on these blanks" : ""));
    if (!piece) return;
    const own = view.blanks.filter((each) => each.material === piece.material);
    this.blanks.replaceChildren(...(place ? [] : [make("option", { value: "" }, "none")]), ...own.map((each) => make("option", { value: String(each.blank) }, called(view, each))));
    this.blanks.value = place ? String(place.blank) : "";
    for (const unit of this.units) unit.textContent = view.unit;
    this.fix.hidden = !place || place.kept;
    this.free.hidden = !place?.kept;
    const turns = this.shell.blankAt(place?.blank)?.turns;
    this.turnBy.hidden = turns?.length === 1;
    this.turned.disabled = turns?.length === 1;
    this.follow(place, this.taken);
    this.taken = false;
  }

  // Figures follow the piece while it moves.
  follow(place, all = false) {
    const { view } = this.shell;
    for (const input of [this.x, this.y, this.turned]) input.disabled = !place;
    if (!place) return;
    const free = (input) => all || document.activeElement !== input; // what is being typed stays as it is
    if (free(this.x)) this.x.value = said(view, place.at[0]);
    if (free(this.y)) this.y.value = said(view, place.at[1]);
    if (free(this.turned)) this.turned.value = String(place.turn);
  }

  told(name, wrong) {
    if (name !== this.shell.held) return;
    this.wrong.replaceChildren(...(wrong ? [make("div", { class: "told wrong" }, mark("wrong"), make("p", {}, make("span", { class: "spoken" }, "Wrong: "), wrong))] : []));
  }

  typed() {
    const place = this.shell.laid(this.shell.held);
    this.taken = true;
    if (place) this.shell.place([{ ...place, at: [this.x.value, this.y.value], turn: this.turned.value }]);
  }

  turn() {
    this.shell.showBlankOf(this.shell.held);
    this.shell.sheet.turn(15);
  }

  toBlank() {
    const blank = this.shell.blankAt(this.blanks.value);
    if (blank) this.shell.layOn(this.shell.held, blank);
  }
}

// All pieces: which are to be cut, and where each lies.
export class Pieces {
  constructor(shell) {
    this.shell = shell;
    this.list = make("ul", { class: "pieces" });
    this.element = make("section", { class: "ticket open" }, make("div", { class: "body first" }, make("h2", { class: "called" }, "The pieces"), make("p", { class: "soft" }, "What is ticked is cut. What has no place of its own is packed where it shows, and may be packed elsewhere once you move another."), this.list));
  }

  show() {
    const { view } = this.shell;
    const hand = document.activeElement?.id;
    this.list.replaceChildren(...view.every.map((each) => this.row(each)), ...view.pieces.filter((each) => each.spare).map((each) => make("li", {}, make("span", {}), this.button(each))));
    if (hand && this.list.querySelector(`#${CSS.escape(hand)}`)) document.getElementById(hand).focus();
  }

  row(each) {
    const id = `cut-${this.shell.view.every.indexOf(each)}`;
    const chosen = this.shell.chosen.has(each.name);
    const piece = this.shell.view.pieces.find((one) => one.name === each.name);
    const box = make("input", { type: "checkbox", id, checked: chosen, "aria-label": `cut ${each.name}`, onchange: (event) => this.shell.choose([each.name], event.target.checked) });
    return make("li", {}, box, piece ? this.button(piece) : make("span", { class: "soft" }, `${each.name}, not cut this time`));
  }

  button(piece) {
    const { view } = this.shell;
    const place = this.shell.laid(piece.name);
    const blank = this.shell.blankAt(place?.blank);
    const wrong = !place || place.wrong;
    return make(
      "button",
      { type: "button", class: "piece-row", id: `piece-row-${view.pieces.indexOf(piece)}`, "aria-pressed": String(piece.name === this.shell.held), onclick: () => this.shell.show(piece.name) },
      make("strong", {}, piece.number + (piece.spare ? "′" : "")),
      make("span", {}, piece.name),
      make("span", { class: "soft" }, place ? `${called(view, blank)}, ${whereSaid(view, place)}` : "no place"),
      wrong ? mark("wrong") : null,
    );
  }
}
