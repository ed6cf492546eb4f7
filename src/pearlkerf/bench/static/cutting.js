// The programs of the pieces: how many, made with progress and stop, printed and looked at; and then what is gone.

import { CannotBe, tell } from "./asking.js";
import { counted, make, mark, say } from "./elements.js";
import { Making } from "./making.js";
import { doubt, dryRun, forPhone, jobFile, problem, shown, toRun } from "./parts.js";
import { byCommand } from "./shelf.js";
import { Ticks } from "./ticks.js";

const MOST_SPARES = 9;

export class Cutting {
  constructor(shell) {
    this.shell = shell;
    const { name } = shell;
    this.spares = make("select", { id: "shell-spares", onchange: () => this.changed() }, Array.from({ length: MOST_SPARES + 1 }, (_, count) => make("option", { value: String(count) }, String(count))));
    this.apart = make("input", { type: "text", id: "shell-apart", placeholder: "10 mm", spellcheck: false, autocomplete: "off" });
    this.pointing = make("input", { type: "checkbox", id: "shell-pointing" });
    this.making = new Making(name, "pieces", () => this.order(), (held, state) => this.hold(held, state));
    this.seconds = make("input", { type: "text", id: "shell-seconds", value: "10", inputMode: "numeric", autocomplete: "off" });
    this.proposing = new Making(name, "nest", () => this.nestOrder(), (_, state) => this.proposed(state));
    this.proposals = make("div", { class: "tolds", role: "status" });
    const line = (...held) => make("p", { class: "line" }, held);
    const label = (input, words) => make("label", { htmlFor: input.id }, words);
    this.nesting = make("div", { class: "nesting" }, line(label(this.seconds, "Look for a closer packing, for"), this.seconds, make("span", { class: "unit" }, "seconds")), this.proposing.element, this.proposals);
    this.element = make(
      "section",
      { class: "ticket open" },
      make("div", { class: "body first" }, make("h2", { class: "called" }, "Cut them"), line(label(this.spares, "Spares of each piece"), this.spares), line(label(this.apart, "Between the blanks on their board"), this.apart), line(this.pointing, label(this.pointing, "Make pointing runs too: spindle off, the tip over every piece")), this.making.element),
    );
    this.held = make("div", {});
  }

  async order() {
    await this.shell.onDisk();
    const { name, machine, only, spares } = this.shell.asked;
    return { name, kind: "pieces", machine, only, spares, apart: this.apart.value, pointing: this.pointing.checked };
  }

  async nestOrder() {
    await this.shell.onDisk();
    const { name, machine } = this.shell.asked;
    this.proposals.replaceChildren();
    return { name, kind: "nest", machine, seconds: Number(this.seconds.value) };
  }

  changed() {
    this.shell.spares = this.spares.value === "0" ? "" : this.spares.value;
    return this.shell.look();
  }

  show() {
    const { view, chosen } = this.shell;
    this.making.may(!view.wrong && view.pieces.length > 0 && chosen.size > 0);
    this.proposing.may(view.pieces.length > 0);
  }

  leave() {
    this.making.leave();
    this.proposing.leave();
  }

  // What was found is only proposed: it is in the file once it is taken.
  proposed(state) {
    if (!state.proposed) return;
    const { view } = this.shell;
    const added = state.proposed.flatMap((each) => each.added);
    const told = state.proposed.map((each) => make("p", {}, `${each.material}: ${each.laid} of ${counted(each.pieces, "piece")} on ${counted(each.blanks, "blank")} as boxes; ${each.closer === null ? "no closer packing was found" : `all of them on ${each.closer}, closer`}`));
    const take = async () => {
      this.proposals.replaceChildren();
      await this.shell.place(added);
      say("the places are in the file");
    };
    const buttons = added.length ? [make("p", { class: "buttons" }, make("button", { type: "button", class: "main", onclick: take }, "Take these places"), make("button", { type: "button", onclick: () => this.proposals.replaceChildren() }, "Leave them"))] : [];
    this.proposals.replaceChildren(...told, ...buttons, make("p", { class: "by-command" }, "The same by command: ", make("code", {}, `${view.nest} --seconds ${this.seconds.value}`)));
  }

  hold(held, state = {}) {
    const { name } = this.shell;
    if (!held.made) return this.held.replaceChildren();
    const print = (file, words) => shown(jobFile(name, "pieces", file), words);
    this.gone = make("div", {});
    this.held.replaceChildren(
      ...[
        ...toRun(held),
        ...(state.done?.warnings ?? []).map(doubt),
        new Ticks(`${name} ${held.folder}`, held).element,
        make("p", { class: "buttons" }, print("pieces-card.pdf", "Print the card"), print("pieces-sheet.pdf", "Print the sheet to lay blanks on"), forPhone(name, "pieces", held)),
        byCommand(held.commands.phone),
        dryRun(name, "pieces"),
        this.gone,
      ].filter(Boolean),
    );
    if (held.made === "made") this.askGone();
  }

  // Once blanks are cut, what the programs took of them is gone: said in the file, so that nothing is cut in a hole.
  async askGone() {
    try {
      const { blanks } = await tell("/api/shell-to-cut", this.shell.asked);
      if (!blanks.length) return;
      const boxes = blanks.map(({ blank, pieces }, index) => {
        const held = this.shell.blankAt(blank);
        const box = make("input", { type: "checkbox", id: `gone-${index}`, checked: true, value: JSON.stringify(blank) });
        return make("p", { class: "line" }, box, make("label", { htmlFor: box.id }, `${held.material} ${blank[1]}: ${pieces.join(", ")}`));
      });
      const chosen = () => boxes.map((each) => each.firstChild).filter((box) => box.checked).map((box) => JSON.parse(box.value));
      this.gone.replaceChildren(make("section", { class: "ticket open" }, make("div", { class: "body first" }, make("h2", { class: "called" }, "Are they cut?"), make("p", { class: "soft" }, "What is gone of a blank is marked as used in the board's file, and no piece is laid there again. A photograph taken afterwards shows it too."), boxes, make("p", { class: "buttons" }, make("button", { type: "button", onclick: () => this.take(chosen()) }, "These are cut")))));
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
    }
  }

  async take(blanks) {
    const { shell } = this;
    try {
      await shell.onDisk();
      const view = await tell("/api/shell-cut", { ...shell.asked, blanks });
      shell.steps.remember("", shell.text, view.text);
      for (const name of view.cut) shell.chosen.delete(name);
      shell.take(view);
      await shell.look();
      this.gone.replaceChildren(make("p", { class: "right proved" }, mark("right"), "Marked as used. Tick a piece that is to be cut again."));
      say("marked as used");
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.gone.append(problem({ found: fault.message }));
    }
  }
}
