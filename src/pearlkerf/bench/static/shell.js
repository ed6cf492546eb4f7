// The shell of a board: its blanks, a photograph of each, the pieces laid over the colour that they are to have; then cut.

import { ask, tell } from "./asking.js";
import { Board, opened } from "./board.js";
import { Cutting } from "./cutting.js";
import { counted, find, make, mark } from "./elements.js";
import { blankCalled, called, InHand, Pieces } from "./hand.js";
import { small } from "./outlines.js";
import { machineChoice, problem } from "./parts.js";
import { Photograph } from "./photograph.js";
import { Sheet } from "./sheet.js";
import { byCommand } from "./shelf.js";

const SMALL_PX = 110;
const INLAYS = "inlays";

class Shell extends Board {
  constructor(name, held, go, machines) {
    super(name, held, go, "shell");
    this.address = `/board/${encodeURIComponent(name)}`;
    find("head").querySelector(".kicker").append(" · ", make("a", { href: this.address }, "the board"));
    this.machine = machineChoice(machines, "shell-machine", () => this.look());
    this.chosen = null; // which pieces are cut; until they are known, those of all inlays
    this.spares = "";
    this.held = "";
    this.shownBlank = new URLSearchParams(location.search).get("blank") ?? "";
    this.strip = make("div", { class: "blank-strip", role: "group", "aria-label": "Blanks" });
    this.others = make("select", { id: "other-blank", onchange: () => this.toBlank(this.others.value) });
    this.title = make("h2", { class: "called" });
    this.sheet = new Sheet(this);
    this.photograph = new Photograph(this);
    this.inHand = new InHand(this);
    this.pieces = new Pieces(this);
    this.cutting = new Cutting(this);
    this.told = make("div", { class: "tolds", role: "status" });
    this.fixAll = make("button", { type: "button", onclick: () => this.keepAll() }, "Keep all where they lie");
  }

  lay() {
    const choice = make("p", { class: "line" }, make("label", { htmlFor: "shell-machine" }, "Cut on which machine?"), this.machine);
    this.other = make("p", { class: "line" }, make("label", { htmlFor: "other-blank" }, "Another blank"), this.others);
    find("main").replaceChildren(
      this.notices,
      make("div", { class: "shell-top" }, choice, this.strip, this.other),
      make("div", { class: "shell-work" }, make("figure", { class: "long shell-sheet" }, make("figcaption", { class: "sheet-head" }, this.title, this.photograph.tools), this.photograph.told, this.photograph.marking, this.sheet.element, make("p", { class: "legend" }, ["placed", "packed", "gone", "wrong"].map((each) => make("span", { class: `key ${each}` }, KEYS[each])))), make("aside", { class: "shell-aside", "aria-label": "The piece in hand, and what is told" }, this.inHand.element, this.told)),
      make("div", { class: "shell-lists" }, this.pieces.element, make("div", { class: "tickets" }, this.nesting(), this.cutting.element)),
      this.cutting.held,
      (this.command = byCommand("")),
    );
  }

  nesting() {
    return make("section", { class: "ticket open" }, make("div", { class: "body first" }, make("h2", { class: "called" }, "Let the tool propose"), make("p", { class: "soft" }, "Pieces without a place are packed as boxes. They lie there only while you leave them."), make("p", { class: "buttons" }, this.fixAll), this.cutting.nesting));
  }

  get only() {
    if (!this.chosen) return [];
    const { every } = this.view;
    const usual = ofInlays(every);
    if (this.chosen.size === usual.length && usual.every((each) => this.chosen.has(each))) return [];
    return shortest(every, this.chosen);
  }

  get asked() {
    return { name: this.name, text: this.text, machine: this.machine.value, only: this.only, none: this.chosen?.size === 0, spares: this.spares };
  }

  look() {
    return this.lookOrTell();
  }

  async see() {
    this.take(await tell("/api/shell", this.asked));
  }

  // Put pieces in places: {piece, blank, at, turn}, or no blank, so that it is packed.
  place(changes) {
    this.head.saving();
    this.waiting.push(...changes.map(({ piece, blank, at, turn }) => ({ piece, blank, at, turn })));
    return this.orTold(() => this.inTurn(() => this.send()));
  }

  // What hand or keys have not let go yet is taken back first.
  async undo() {
    if (this.sheet.tried) return this.sheet.back();
    await this.settled();
    return super.undo();
  }

  async save(options = {}) {
    await super.save(options);
    if (this.sheet.tried) this.head.saving();
  }

  async send() {
    if (!this.waiting.length) return;
    const changes = this.waiting.splice(0);
    try {
      const view = await tell("/api/shell-place", { ...this.asked, changes });
      this.steps.remember("", this.text, view.text);
      this.take(view);
    } catch (fault) {
      if (!fault.status) this.waiting.unshift(...changes); // nobody has taken them
      this.redraw();
      throw fault;
    }
  }

  take(view) {
    this.text = view.text;
    if (this.left) return void this.save({ keepalive: true });
    this.view = view;
    this.notice("edit", null);
    document.title = `${view.title} · the shell`;
    this.head.show();
    this.chosen ??= new Set(ofInlays(view.every));
    if (!view.pieces.some((each) => each.name === this.held)) this.held = "";
    this.redraw();
    this.told.replaceChildren(...this.problems());
    this.command.lastChild.textContent = view.command;
    this.cutting.show();
    this.saveSoon();
  }

  problems() {
    const { view } = this;
    const told = view.problems.map(problem);
    for (const each of view.laid.filter((one) => one.wrong)) told.push(problem({ key: each.piece, found: each.wrong }));
    if (view.problems.some((each) => each.key && !each.key.includes("place") && !each.key.includes("count"))) told.push(make("p", {}, make("a", { href: this.address }, "To the board")));
    if (!view.every.length && !view.problems.length) told.push(make("p", { class: "notice" }, mark("doubtful"), "This board has no inlay whose pieces are cut: add one of a material, and its [[inlay_blank]]."));
    const lost = view.problems.filter((each) => /place\.\d+$/.test(each.key ?? "") && each.hint);
    if (lost.length) told.push(make("p", { class: "buttons" }, make("button", { type: "button", onclick: () => this.place(lost.map((each) => ({ piece: this.placeAt(each.key), blank: null }))) }, "Take these places out")));
    return told;
  }

  // Which piece the file lays at a key such as inlay_blank.0.place.2, as the bench tells it.
  placeAt(key) {
    return this.view.lost[key] ?? "";
  }

  redraw() {
    const { view } = this;
    this.blank = this.blankAt(this.shownBlank) ?? this.blankAt(view.laid[0]?.blank) ?? view.blanks[0] ?? null;
    if (this.blank) this.shownBlank = String(this.blank.blank); // it stays, whatever is packed elsewhere
    if (this.blank) history.replaceState(null, "", `${location.pathname}?blank=${encodeURIComponent(this.shownBlank)}`);
    this.title.textContent = this.blank ? blankCalled(view, this.blank) : "No blanks";
    this.drawStrip();
    this.photograph.show();
    this.sheet.show();
    this.inHand.show();
    this.pieces.show();
    this.fixAll.disabled = !view.laid.some((each) => !each.kept);
  }

  // The blanks on which something is, small; the rest by name.
  drawStrip() {
    const { view } = this;
    const begun = (blank) => blank.photograph || blank.used.length || blank === this.blank || view.laid.some((each) => String(each.blank) === String(blank.blank));
    const [some, rest] = [view.blanks.filter(begun), view.blanks.filter((each) => !begun(each))];
    const hand = document.activeElement?.dataset?.blank;
    this.strip.replaceChildren(
      ...some.map((blank) => {
        const here = view.laid.filter((each) => String(each.blank) === String(blank.blank));
        return make(
          "button",
          { type: "button", class: "blank-choice", data: { blank: String(blank.blank) }, "aria-pressed": String(blank === this.blank), onclick: () => this.toBlank(String(blank.blank)) },
          small(view, blank, SMALL_PX),
          make("span", {}, called(view, blank)),
          make("span", { class: "soft" }, [counted(here.length, "piece"), blank.photograph ? "photograph" : ""].filter(Boolean).join(" · ")),
          here.some((each) => each.wrong) ? mark("wrong") : null,
        );
      }),
    );
    if (hand) this.strip.querySelector(`[data-blank="${hand}"]`)?.focus();
    this.others.replaceChildren(make("option", { value: "" }, "choose"), ...rest.map((each) => make("option", { value: String(each.blank) }, blankCalled(view, each))));
    this.other.hidden = !rest.length;
  }

  toBlank(blank) {
    if (!blank) return;
    this.shownBlank = blank;
    this.redraw();
  }

  // The blank that is said by its entry in the file and its number there.
  blankAt(said) {
    return this.view.blanks.find((each) => String(each.blank) === String(said));
  }

  laid(name) {
    return this.view.laid.find((each) => each.piece === name);
  }

  hold(name) {
    if (name === this.held) return;
    this.held = name;
    this.sheet.drawKnob();
    this.inHand.show();
    this.pieces.show();
  }

  showBlankOf(name) {
    const place = this.laid(name);
    if (place && String(place.blank) !== String(this.blank.blank)) this.toBlank(String(place.blank));
  }

  // Take a piece in hand from the list: its blank is shown, and what the keys do is done to it.
  show(name) {
    this.held = name;
    this.showBlankOf(name);
    this.sheet.drawKnob();
    this.inHand.show();
    this.pieces.show();
    this.sheet.group(name)?.focus();
  }

  // Lay a piece on a blank: where it lies on another one, if that is on this one too, else in its middle.
  layOn(name, blank) {
    const place = this.laid(name);
    const fits = place && place.at[0] < blank.length_mm && place.at[1] < blank.width_mm;
    const at = fits ? place.at : [blank.length_mm / 2, blank.width_mm / 2];
    this.shownBlank = String(blank.blank);
    return this.place([{ piece: name, blank: blank.blank, at, turn: blank.turns ? blank.turns[0] : (place?.turn ?? 0) }]);
  }

  keepAll() {
    return this.place(this.view.laid.filter((each) => !each.kept));
  }

  choose(names, on) {
    for (const name of names) on ? this.chosen.add(name) : this.chosen.delete(name);
    return this.look();
  }

  photographOf(blank) {
    const [entry, number] = blank.blank;
    return `/photograph/${encodeURIComponent(this.name)}/${entry}/${number}?${blank.photograph.sha256}`;
  }

  // What the bench reads from the disk next is what stands here.
  async onDisk() {
    this.sheet.keep();
    await this.settled();
    await this.save();
    await this.settled();
  }
}

const KEYS = { placed: "laid by you", packed: "packed by the tool", gone: "used", wrong: "cannot lie so" };

const ofInlays = (every) => every.filter((each) => each.of.includes(INLAYS)).map((each) => each.name);

// The fewest words by which just these pieces are asked for.
const shortest = (every, chosen) => {
  const words = [...new Set(every.flatMap((each) => each.of))];
  const members = (word) => every.filter((each) => each.of.includes(word)).map((each) => each.name);
  const left = new Set(chosen);
  const said = [];
  for (const word of words.sort((one, other) => members(other).length - members(one).length)) {
    const own = members(word);
    if (!own.some((each) => left.has(each)) || !own.every((each) => chosen.has(each))) continue;
    said.push(word);
    for (const each of own) left.delete(each);
  }
  return said;
};

export const openShell = async (name, go) => {
  const [{ machines }, held] = await Promise.all([ask("/api/machines"), ask(`/api/board/${encodeURIComponent(name)}`)]);
  const shell = new Shell(name, held, go, machines);
  const leave = await opened(shell);
  const sized = () => shell.view && shell.sheet.show();
  addEventListener("resize", sized);
  await shell.cutting.making.follow();
  return () => {
    shell.left = true;
    shell.sheet.keep();
    leave();
    removeEventListener("resize", sized);
    shell.cutting.leave();
  };
};
