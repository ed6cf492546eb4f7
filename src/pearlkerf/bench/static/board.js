// One board: its text, what the bench says of it, and everything that changes it.
//
//   field, button, drawing ─edits─> bench ─> new text and view ─> page
//                                      └─ saved as soon as hands rest

import { Adder } from "./adder.js";
import { ask, CannotBe, tell } from "./asking.js";
import { Drawings } from "./drawings.js";
import { find, make, mark, say } from "./elements.js";
import { Head } from "./head.js";
import { whole } from "./kept.js";
import { picks } from "./picks.js";
import { byCommand } from "./shelf.js";
import { Steps } from "./steps.js";
import { TextView } from "./text.js";
import { Tickets } from "./tickets.js";
import { toldList } from "./told.js";

const SAVE_AFTER_MS = 350;
const HAS_INLAYS = /^\s*\[\[\s*inlay/m;
// a machine has none
const NO_DRAWINGS = { show: () => {}, sized: () => {}, light: () => {}, sizes: () => ({}) };

export class Board {
  constructor(name, opened, go, kind = "board") {
    this.kind = kind;
    this.name = name;
    this.go = go;
    this.text = opened.text;
    this.savedText = opened.text;
    this.digest = opened.digest;
    this.view = null;
    this.kept = new Map();
    this.steps = new Steps();
    this.waiting = [];
    this.turn = Promise.resolve();
    this.fret = Number(new URLSearchParams(location.search).get("fret")) || null;
    this.head = new Head(this);
    this.drawings = kind === "board" ? new Drawings(this) : NO_DRAWINGS;
    this.adder = new Adder(this);
    this.tickets = new Tickets(this);
    this.textView = new TextView(this);
    this.notices = make("div", { class: "notices" });
    this.comes = make("div", { class: "picked" });
    this.told = make("div", { class: "all-told" });
    this.toShell = make("button", { type: "button", onclick: () => this.toPage("shell") }, "Lay the pieces on your shell");
  }

  lay() {
    find("main").replaceChildren(
      this.notices,
      this.drawings.long,
      this.comes,
      make("div", { class: "table" }, this.tickets.element, make("aside", { class: "beside", "aria-label": "Cut across, and what is told" }, this.drawings.across, this.told)),
      make("p", { class: "to-job" }, this.toShell, make("button", { type: "button", class: "main", onclick: () => this.toPage("job") }, "Make the programs")),
      this.textView.element,
      this.command = byCommand(""),
    );
  }

  get wanted() {
    return { kind: this.kind, name: this.name, fret: this.fret, ...this.drawings.sizes() };
  }

  // One thing after another: what is asked later is about the text that the earlier one has given.
  inTurn(act) {
    const done = this.turn.then(act);
    this.turn = done.catch(() => {});
    return done;
  }

  // Tell of what cannot be, with a button to try it again where the bench was silent.
  async orTold(act) {
    try {
      await act();
    } catch (fault) {
      fault.status || this.unsaved ? this.head.unsaved() : this.head.saved();
      this.notice("edit", fault, fault.status ? [] : [["Try again", () => this.orTold(act)]]);
    }
  }

  // Show the text as the bench sees it, without a change.
  look() {
    return this.inTurn(() => this.see());
  }

  lookOrTell() {
    return this.orTold(() => this.inTurn(() => this.see()));
  }

  async see() {
    this.take(await this.seen("/api/look", { text: this.text }));
  }

  // Ask for a view; of it comes what the page has not.
  async seen(address, asked) {
    const had = this.kept;
    const { view, kept } = whole(await tell(address, { ...this.wanted, ...asked, has: [...had.keys()] }), had);
    this.kept = kept;
    return view;
  }

  // Send edits; those that come while one is under way go together, next.
  edit(edits, place = "") {
    this.head.saving();
    this.place = place;
    for (const each of edits) {
      const same = "typed" in each && !each.do ? this.waiting.findIndex((other) => "typed" in other && String(other.at) === String(each.at)) : -1;
      if (same >= 0) this.waiting.splice(same, 1);
      this.waiting.push(each);
    }
    return this.orTold(() => this.inTurn(() => this.send()));
  }

  async send() {
    if (!this.waiting.length) return;
    const edits = this.waiting.splice(0);
    const started = performance.now();
    try {
      const view = await this.seen("/api/edit", { text: this.text, edits });
      this.steps.remember(this.place, this.text, view.text);
      this.take(view);
      document.documentElement.dataset.redrawn = String(performance.now() - started);
    } catch (fault) {
      if (!fault.status) this.waiting.unshift(...edits); // nobody has taken them
      throw fault;
    }
  }

  // Take a text as typed, whole.
  write(text) {
    this.head.saving();
    const take = async () => {
      this.steps.remember("text", this.text, text);
      this.text = text;
      await this.see();
    };
    return this.orTold(() => this.inTurn(take));
  }

  take(view) {
    this.text = view.text;
    this.view = view;
    this.notice("edit", null);
    document.title = `${view.title} · the bench`;
    this.head.show();
    this.drawings.show();
    if (this.kind === "board") picks(this.comes, this);
    this.tickets.show();
    toldList(this.told, this);
    this.textView.show();
    this.command.lastChild.textContent = view.command;
    this.toShell.hidden = this.kind !== "board" || !HAS_INLAYS.test(view.text);
    this.saveSoon();
  }

  undo() {
    return this.back("undone", () => this.steps.undo(this.text));
  }

  redo() {
    return this.back("done again", () => this.steps.redo(this.text));
  }

  // Show a text that was; if the bench is silent, all stays where it is.
  back(words, step) {
    const go = async () => {
      const now = this.text;
      const gone = step();
      if (!gone) return;
      this.head.saving();
      this.text = gone.text;
      try {
        await this.see();
      } catch (fault) {
        gone.again();
        this.text = now;
        throw fault;
      }
      say(words);
    };
    return this.orTold(() => this.inTurn(go));
  }

  saveSoon() {
    clearTimeout(this.saver);
    if (this.text === this.savedText) {
      this.head.saved();
      return;
    }
    this.head.saving();
    this.saver = setTimeout(() => this.save(), SAVE_AFTER_MS);
  }

  async save(options = {}) {
    clearTimeout(this.saver);
    if (this.text === this.savedText || this.saveUnderWay) return;
    const text = this.text;
    this.saveUnderWay = true;
    try {
      const kept = await tell("/api/save", { name: this.name, text, digest: this.digest }, options);
      this.saveUnderWay = false;
      if (kept.changed) this.conflict(kept);
      else {
        this.digest = kept.digest;
        this.savedText = text;
        this.notice("save", null);
        this.head.saved();
        if (this.text !== text) this.saveSoon();
      }
    } catch (fault) {
      this.saveUnderWay = false;
      if (!(fault instanceof CannotBe)) throw fault;
      this.notice("save", fault, [["Try again", () => this.save()]]);
      this.head.unsaved();
    }
  }

  // The file was written by somebody else since it was read.
  conflict(theirs) {
    if (!theirs.gone && theirs.text === this.text) {
      this.digest = theirs.digest;
      this.savedText = theirs.text;
      this.head.saved();
      return;
    }
    this.head.unsaved();
    const words = theirs.gone ? "The file is gone: it was renamed or removed meanwhile." : "The file was changed by somebody else meanwhile. What stands here is not saved.";
    const keep = async () => {
      this.notice("save", null);
      if (theirs.gone) await this.begin();
      else {
        this.digest = theirs.digest;
        await this.save();
      }
    };
    const takeTheirs = () => {
      this.notice("save", null);
      return this.orTold(() => this.inTurn(() => this.takeOther(theirs)));
    };
    this.notice("save", new CannotBe(words, 409), [...(theirs.gone ? [] : [["Show the other", takeTheirs]]), ["Keep mine", keep]]);
  }

  // Save what stands here where the file has gone.
  async begin() {
    const text = this.text;
    try {
      this.takeHeld(await tell("/api/new", { name: this.name, text }));
    } catch (fault) {
      this.notice("save", fault, [["Try again", () => this.begin()]]);
      this.head.unsaved();
    }
  }

  // Take what the file holds in the place of what stands here, which undo gives back.
  async takeOther(held) {
    this.steps.remember("", this.text, held.text);
    this.takeHeld(held);
    this.text = held.text;
    await this.see();
  }

  takeHeld(held) {
    this.digest = held.digest;
    this.savedText = held.text;
    this.head.saved();
  }

  // The window comes back: what the file holds now is shown, unless something here is unsaved.
  lookAgain() {
    if (document.hidden) return;
    const again = async () => {
      const held = await ask(`/api/board/${encodeURIComponent(this.name)}`);
      if (held.digest === this.digest || this.text !== this.savedText || this.waiting.length) return;
      await this.takeOther(held);
      say("the file was changed outside, and is read again");
    };
    return this.inTurn(again).catch((fault) => this.notice("save", fault));
  }

  // Wait until what was typed is taken, and no save is under way.
  async settled() {
    for (let turn = null; turn !== this.turn; ) await (turn = this.turn);
    while (this.saveUnderWay) await new Promise((rest) => setTimeout(rest, 10));
  }

  notice(kind, fault, buttons = []) {
    this.notices.querySelector(`[data-kind="${kind}"]`)?.remove();
    if (!fault) return;
    if (!(fault instanceof CannotBe)) throw fault;
    this.notices.append(
      make("div", { class: "notice", role: "alert", data: { kind } }, mark("wrong"), make("p", {}, fault.message), buttons.map(([called, act]) => make("button", { type: "button", onclick: act }, called))),
    );
  }

  // Whether something that was typed is not in the file.
  get unsaved() {
    return this.text !== this.savedText || this.waiting.length > 0;
  }

  // Open the ticket of a table or key, and put the hand on its field.
  open(place) {
    this.tickets.openAt(place);
  }

  async toPage(page) {
    await this.settled();
    await this.save();
    await this.settled(); // a save that was under way already
    if (!this.unsaved) this.go(`/board/${encodeURIComponent(this.name)}/${page}`);
  }

  cutAt(fret) {
    this.fret = fret;
    this.tickets.address();
    return this.lookOrTell();
  }
}

export const openBoard = async (name, go) => {
  return opened(new Board(name, await ask(`/api/board/${encodeURIComponent(name)}`), go));
};

// Show what is opened, and listen for all that changes it; gives what ends that.
export const opened = async (board) => {
  board.lay();
  await board.look();
  board.head.saved();
  const keys = (event) => {
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || !["z", "y"].includes(key)) return;
    event.preventDefault();
    event.shiftKey || key === "y" ? board.redo() : board.undo();
  };
  const again = () => board.lookAgain();
  const last = () => board.save({ keepalive: true });
  const sized = () => board.drawings.sized();
  // what could not be saved when it should have been is not left without a word; else it is saved on leaving
  const leaving = (event) => board.unsaved && board.head.isUnsaved && event.preventDefault();
  addEventListener("keydown", keys);
  addEventListener("focus", again);
  addEventListener("pagehide", last);
  addEventListener("beforeunload", leaving);
  addEventListener("resize", sized);
  addEventListener("popstate", board.tickets.byAddress);
  return () => {
    last();
    removeEventListener("keydown", keys);
    removeEventListener("focus", again);
    removeEventListener("pagehide", last);
    removeEventListener("beforeunload", leaving);
    removeEventListener("resize", sized);
    removeEventListener("popstate", board.tickets.byAddress);
  };
};
