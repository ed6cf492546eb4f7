// One field: what it means, what the file holds, what counts where nothing is said, and what is told of it.

import { make } from "./elements.js";
import { hint } from "./hints.js";
import { told } from "./told.js";

const BARE = /^[\s\d.,;+-]*$/;
const LONG = 40; // characters: a longer list has room for several lines

// Whether figures stand without a unit, and so mean the file's own.
const bare = (typed) => Object.values(typeof typed === "object" ? typed : { typed }).every((text) => text !== "" && BARE.test(text));

export class Field {
  constructor(board, held, of) {
    this.board = board;
    this.held = held;
    this.id = `field-${held.place.join("-")}`;
    this.tolds = make("div", { class: "tolds", id: `${this.id}-told` });
    this.meaning = make("p", { class: "meaning", id: `${this.id}-meaning` }, held.meaning);
    this.unit = make("span", { class: "unit", "aria-hidden": "true" });
    this.control = [this.made(), this.unit];
    const called = of ? `${of.replaceAll("_", " ")}: ${held.called}` : held.called;
    const label = this.group ? make("legend", {}, called) : make("label", { htmlFor: this.inputs[0].id }, called);
    this.element = make(this.group ? "fieldset" : "div", { class: `field ${held.control}`, data: { field: held.place.join(".") } }, label, make("div", { class: "control" }, this.control), this.meaning, hint(held.place, held.key), this.tolds);
    for (const input of this.inputs) {
      input.setAttribute("aria-describedby", `${this.id}-meaning ${this.id}-told`);
      input.addEventListener("focus", () => board.drawings.light(held.place));
    }
  }

  made() {
    const { held } = this;
    this.group = false;
    if (held.control === "choice") return this.segments();
    if (held.control === "flag") return this.flag();
    if (typeof held.typed === "object" || !held.alone) return this.parts();
    const line = this.line(this.id, (typed) => typed);
    const apart = held.parts.length ? make("button", { type: "button", class: "quiet", onclick: () => this.apart(line.value) }, held.parts.length > 1 ? `${held.parts.join(" and ")} apart` : `an ${held.parts[0]}`) : null;
    return [line, this.words(line), apart];
  }

  line(id, typedOf, part = "") {
    const { held } = this;
    const long = held.many && String(held.typed).length > LONG;
    const input = make(long ? "textarea" : "input", { id, ...(long ? { rows: 2 } : { type: "text" }), autocomplete: "off", spellcheck: false, placeholder: part ? part : held.required ? "" : held.usual === "none" ? "" : held.usual, class: `${held.control}${held.many ? " many" : ""}` });
    if (part) input.setAttribute("aria-label", `${held.called}, ${part}`);
    input.addEventListener("input", () => this.send(typedOf(input.value)));
    this.inputs = [...(this.inputs ?? []), input];
    return input;
  }

  // Words that may stand in place of a length.
  words(line) {
    const { words } = this.held;
    if (!words.length) return null;
    const list = make("datalist", { id: `${this.id}-words` }, words.map((word) => make("option", { value: word })));
    line.setAttribute("list", list.id);
    return list;
  }

  parts() {
    const { held } = this;
    this.group = true;
    this.inputs = [];
    const lines = held.parts.map((part) => this.line(`${this.id}-${part}`, () => Object.fromEntries(held.parts.map((each, index) => [each, lines[index].value])), part));
    const one = held.alone ? make("button", { type: "button", class: "quiet", onclick: () => this.send(lines[0].value) }, held.parts.length > 1 ? "one for both" : `no ${held.parts[0]}`) : null;
    return [held.parts.map((part, index) => make("span", { class: "part" }, make("span", { "aria-hidden": "true" }, part), lines[index])), one];
  }

  apart(value) {
    const { parts } = this.held;
    this.send(Object.fromEntries(parts.map((part) => [part, value || "60"])));
  }

  segments() {
    const { held } = this;
    this.group = true;
    this.inputs = held.words.map((word) => make("input", { type: "radio", name: this.id, id: `${this.id}-${word.replaceAll(" ", "-")}`, value: word, onchange: () => this.send(word) }));
    if (held.many) {
      this.group = false;
      this.inputs = [];
      return this.line(this.id, (typed) => typed);
    }
    return make("div", { class: "segments" }, this.inputs.map((input) => [input, make("label", { htmlFor: input.id }, input.value)]));
  }

  flag() {
    const input = make("input", { type: "checkbox", id: this.id, onchange: () => this.send(input.checked ? "true" : this.held.usual === "true" ? "false" : "") });
    this.inputs = [input];
    return make("label", { class: "tick" }, input);
  }

  send(typed) {
    const { place, control } = this.held;
    this.board.edit([{ at: place, typed: control === "flag" ? String(typed) : typed }], place.join("."));
  }

  show(held) {
    this.held = held;
    this.element.classList.toggle("given", held.given);
    const worst = held.told.some((each) => each.weight === "wrong") ? "wrong" : held.told.length ? "doubtful" : "";
    this.element.dataset.told = worst;
    this.fill();
    this.unit.textContent = held.control === "length" && bare(held.typed) ? (this.board.view.unit ?? "") : "";
    for (const input of this.inputs) input.toggleAttribute("aria-invalid", false);
    if (worst === "wrong") for (const input of this.inputs) input.setAttribute("aria-invalid", "true");
    this.tolds.replaceChildren(...held.told.map((each) => told(each, this.board)));
    if (held.told.length) this.element.closest("details.more")?.setAttribute("open", "");
  }

  fill() {
    const { held, inputs } = this;
    const usual = held.usual.replaceAll('"', "");
    inputs.forEach((input, index) => {
      if (input.type === "radio") {
        input.checked = held.given ? held.typed === input.value : usual === input.value;
      } else if (input.type === "checkbox") {
        input.checked = (held.given ? held.typed : usual) === "true";
      } else if (document.activeElement !== input) {
        const typed = typeof held.typed === "object" ? (held.typed[held.parts[index]] ?? "") : held.typed;
        if (input.value !== typed) input.value = typed;
      }
    });
  }

  isAt(place) {
    const own = this.held.place.map(String);
    return own.every((part, index) => part === String(place[index]));
  }

  reveal() {
    for (let around = this.element.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
    const input = this.inputs.find((each) => each.type !== "radio" || each.checked) ?? this.inputs[0];
    input?.focus({ preventScroll: true });
    this.element.scrollIntoView({ block: "nearest" });
  }
}
