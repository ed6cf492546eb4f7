// The board's file as text, for who wants it, with the same marks.

import { make } from "./elements.js";
import { allTold } from "./told.js";

const LOOK_AFTER_MS = 150;

export class TextView {
  constructor(board) {
    this.board = board;
    this.area = make("textarea", { id: "as-text", spellcheck: false, autocomplete: "off", rows: 24, oninput: () => this.typed() });
    this.marks = make("ul", { class: "line-marks" });
    this.element = make(
      "details",
      { class: "as-text", ontoggle: () => this.show() },
      make("summary", {}, "As text"),
      make("p", { class: "soft" }, make("label", { htmlFor: "as-text" }, "The file itself. Comments stay, whatever is changed above.")),
      this.area,
      this.marks,
    );
  }

  typed() {
    clearTimeout(this.later);
    this.later = setTimeout(() => this.board.write(this.area.value), LOOK_AFTER_MS);
  }

  show() {
    if (!this.element.open) return;
    if (document.activeElement !== this.area && this.area.value !== this.board.text) this.area.value = this.board.text;
    const told = allTold(this.board.view).filter((each) => each.line);
    told.sort((one, other) => one.line - other.line);
    this.marks.replaceChildren(
      ...told.map((each) => make("li", { class: `told ${each.weight}` }, make("button", { type: "button", class: "where", onclick: () => this.jump(each) }, `line ${each.line}`), make("span", {}, [each.key, each.found].filter(Boolean).join(": ")))),
    );
  }

  jump({ line, column }) {
    const before = this.area.value.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    this.area.focus();
    this.area.setSelectionRange(before + column - 1, before + (this.area.value.split("\n")[line - 1] ?? "").length);
  }
}
