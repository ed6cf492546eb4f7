// An inlay let in without a file being typed: what it is, where it lies, what it is cut from.

import { base64, CannotBe, tell } from "./asking.js";
import { drawing, make, mark, say } from "./elements.js";

const BY_HAND = " ";
const LETTERS = "letters";
const SHAPE_OF_A_LETTER = 0.8; // of its height it is wide, about

export class Adder {
  constructor(board) {
    this.board = board;
    this.chosen = "";
    this.element = make("section", { class: "adder", "aria-label": "Let an inlay in" });
    this.summary = make("summary", {}, "Let an inlay in");
    this.body = make("div", { class: "adder-body" });
    this.fold = make("details", { ontoggle: () => this.fold.open && this.ask() }, this.summary, this.body);
    this.told = make("div", { class: "tolds", role: "alert" });
    this.element.append(this.fold);
  }

  // As the ticket of inlays shows it; what was chosen in it stays.
  shown() {
    const none = !(this.board.view.tickets ?? []).some((ticket) => ticket.sections.some((section) => section.table === "inlay" && section.rows.length));
    if (none && !this.fold.open) this.fold.open = true;
    return this.element;
  }

  async ask() {
    try {
      await this.layAnew();
    } catch (fault) {
      this.wrong(fault);
    }
  }

  async layAnew() {
    this.kinds = await tell("/api/inlay-kinds", { name: this.board.name, text: this.board.text });
    this.lay();
  }

  wrong(fault) {
    if (!(fault instanceof CannotBe)) throw fault;
    this.told.replaceChildren(make("div", { class: "told wrong" }, mark("wrong"), make("p", {}, fault.message)));
  }

  lay() {
    const { shapes, drawings, typefaces, materials, usual, first } = this.kinds;
    const text = (id, value, more = {}) => make("input", { type: "text", id, value, spellcheck: false, autocomplete: "off", ...more });
    const kept = (input, usually) => input?.value || usually;
    this.where = text("adder-where", kept(this.where, first));
    this.letters = text("adder-text", kept(this.letters, ""), { placeholder: "such as HL" });
    this.face = make("select", { id: "adder-face" }, make("option", { value: "" }, "the one that comes along"), typefaces.map((file) => make("option", { value: file }, file)));
    this.of = make("select", { id: "adder-of", onchange: () => this.sized() }, materials.map((name) => make("option", { value: name }, name)), usual.map((name) => make("option", { value: `+${name}` }, `${name}, a new blank`)), make("option", { value: BY_HAND }, "nothing of a blank: only its thickness is said"));
    this.thick = text("adder-thick", kept(this.thick, "1.5 mm"));
    this.thickLine = make("p", { class: "line" }, make("label", { htmlFor: "adder-thick" }, "How thick it is, as measured"), this.thick);
    this.byHand = make("input", { type: "checkbox", id: "adder-by-hand", checked: this.byHand?.checked ?? false });
    const one = (name, called, picture, wrong = "") => {
      const id = `adder-${name.replace(/\W/g, "-")}`;
      const input = make("input", { type: "radio", name: "adder-what", id, value: name, checked: name === this.chosen, disabled: Boolean(wrong), onchange: () => this.choose(name) });
      return [input, make("label", { htmlFor: id }, picture ? drawing(picture) : make("span", { class: "letters-picture", "aria-hidden": "true" }, "Aa"), make("span", {}, called), wrong ? make("span", { class: "wrong" }, wrong) : null)];
    };
    this.file = make("input", { type: "file", id: "adder-file", accept: ".svg,.dxf,.ttf,.otf", onchange: () => this.keep([...this.file.files]) });
    this.drop = make("div", { class: "drop" }, make("label", { htmlFor: "adder-file" }, "A drawing of your own, .svg or .dxf, or a typeface: drop it here, or choose it. It is kept beside the board."), this.file);
    this.drop.addEventListener("dragover", (event) => event.preventDefault());
    this.drop.addEventListener("drop", (event) => {
      event.preventDefault();
      this.keep([...event.dataTransfer.files]);
    });
    this.lettersLine = make("p", { class: "line" }, make("label", { htmlFor: "adder-text" }, "Which letters"), this.letters, make("label", { htmlFor: "adder-face" }, "in which typeface"), this.face);
    this.told.replaceChildren();
    this.body.replaceChildren(
      make("fieldset", { class: "picks" }, make("legend", {}, "What is let in?"), make("div", { class: "pick-group loose kinds-of-inlay" }, shapes.map((each) => one(`shape:${each.name}`, each.name, each.drawing)), one(LETTERS, "letters", ""), drawings.map((each) => one(`file:${each.file}`, each.file, each.drawing, each.wrong)))),
      this.drop,
      this.lettersLine,
      make("p", { class: "line" }, make("label", { htmlFor: "adder-where" }, "In which fret spaces"), this.where, make("span", { class: "soft" }, "as for dots: 7 lies between frets 6 and 7")),
      make("p", { class: "line" }, make("label", { htmlFor: "adder-of" }, "Of what"), this.of),
      this.thickLine,
      make("p", { class: "line" }, this.byHand, make("label", { htmlFor: "adder-by-hand" }, "I cut the pieces by hand; the machine cuts the pockets alone")),
      this.told,
      make("p", { class: "buttons" }, (this.button = make("button", { type: "button", class: "main", onclick: () => this.add() }, "Let it in"))),
    );
    this.choose(this.chosen);
  }

  choose(name) {
    this.chosen = name;
    this.lettersLine.hidden = name !== LETTERS;
    this.sized();
  }

  sized() {
    this.thickLine.hidden = !(this.of.value === BY_HAND || this.of.value.startsWith("+"));
    this.button.disabled = !this.chosen;
  }

  // Keep what was dropped beside the board, and choose it.
  async keep(files) {
    for (const file of files) await this.keepOne(file, file.name);
  }

  async keepOne(file, name) {
    this.told.replaceChildren();
    try {
      const told = await tell("/api/inlay-file", { file: name, data: await base64(file) });
      this.chosen = told.typeface ? LETTERS : `file:${told.file}`;
      await this.layAnew();
      if (told.typeface) this.face.value = told.file;
      say(`${told.file} is kept beside the board`);
    } catch (fault) {
      this.wrong(fault);
      if (fault.status !== 409) return;
      const other = make("input", { type: "text", value: name.replace(/(\.\w+)$/, " 2$1"), "aria-label": "Its name", spellcheck: false });
      this.told.append(make("p", { class: "line" }, other, make("button", { type: "button", onclick: () => this.keepOne(file, other.value.trim()) }, "Keep it under this name")));
    }
  }

  // The size that it has at first: within the smallest of its spaces.
  size(wide) {
    const named = this.where.value.split(/[,;]/).map((each) => each.trim());
    const here = this.kinds.spaces.filter((each) => named.includes(each.called) || named.includes(String(each.fret)));
    if (!here.length || !wide) return {};
    const along = Math.min(...here.map((each) => each.along));
    const across = Math.min(...here.map((each) => each.across));
    const by = Math.min(along / wide.along, across / wide.across);
    const fine = (figure) => (figure * by).toFixed(this.board.view.unit === "in" ? 2 : 1);
    return { length: fine(wide.along), width: fine(wide.across) };
  }

  // What stands in its table, but for its place.
  what() {
    const [kind, name] = [this.chosen.split(":")[0], this.chosen.slice(this.chosen.indexOf(":") + 1)];
    if (kind === "shape") {
      const shape = this.kinds.shapes.find((each) => each.name === name);
      return { shape: name, ...(shape.fills ? {} : this.size(shape)) };
    }
    if (kind === "file") {
      const { length } = this.size(this.kinds.drawings.find((each) => each.file === name));
      return { outline: name, ...(length ? { length } : {}) };
    }
    const letters = this.letters.value.trim();
    const { width } = this.size({ along: Math.max(1, letters.length) * SHAPE_OF_A_LETTER, across: 1 });
    return { text: letters, ...(this.face.value ? { font: this.face.value } : {}), ...(width ? { width } : {}) };
  }

  add() {
    if (this.chosen === LETTERS && !this.letters.value.trim()) {
      this.wrong(new CannotBe("Which letters? Type them first.", 0));
      this.letters.focus();
      return;
    }
    const section = this.board.view.tickets.flatMap((ticket) => ticket.sections).find((each) => each.table === "inlay");
    const at = section.rows.length;
    const of = this.of.value;
    const material = of === BY_HAND ? {} : { material: of.replace(/^\+/, "") };
    const byHand = this.byHand.checked ? { pieces: "by hand" } : {};
    const thickness = { thickness: this.thick.value };
    const edits = [{ do: "add", at: ["inlay"], typed: { ...this.what(), frets: this.where.value, ...material, ...(of === BY_HAND ? thickness : {}), ...byHand } }];
    if (of.startsWith("+")) {
      const size = this.byHand.checked ? {} : { length: "40 mm", width: "25 mm", count: "4" };
      edits.push({ do: "add", at: ["inlay_blank"], typed: { ...material, ...thickness, ...size } });
    }
    this.chosen = "";
    this.fold.open = false;
    this.where.value = "";
    this.board.edit(edits).then(() => this.board.open(["inlay", String(at), "frets"]));
  }
}
