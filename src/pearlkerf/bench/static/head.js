// The head of a board's page: what it is, whether it is saved, whether it is right; undo and redo.

import { counted, find, make, mark } from "./elements.js";

export class Head {
  constructor(board) {
    this.board = board;
    this.title = make("h1", {});
    this.kept = make("p", { class: "kept" });
    this.stamp = make("p", { class: "stamp" });
    this.undo = make("button", { type: "button", onclick: () => board.undo(), "aria-keyshortcuts": "Control+Z" }, "Undo");
    this.redo = make("button", { type: "button", onclick: () => board.redo(), "aria-keyshortcuts": "Control+Shift+Z" }, "Redo");
    find("head").replaceChildren(
      make("div", {}, make("p", { class: "kicker" }, board.kind === "machine" ? make("a", { href: "/machines" }, "all machines") : make("a", { href: "/" }, "all boards")), this.title),
      make("div", { class: "buttons" }, this.undo, this.redo),
      this.kept,
      this.stamp,
    );
  }

  show() {
    const { view, steps } = this.board;
    this.title.textContent = view.title || this.board.name;
    const state = view.wrong ? "wrong" : view.doubtful ? "doubtful" : "right";
    const words = [view.wrong ? counted(view.wrong, "mistake") : "right", view.doubtful ? counted(view.doubtful, "doubt") : ""].filter(Boolean);
    this.stamp.className = `stamp ${state}`;
    this.stamp.replaceChildren(mark(state), words.join(" · "));
    this.undo.disabled = !steps.done.length;
    this.redo.disabled = !steps.undone.length;
  }

  saved() {
    const now = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    this.kept.textContent = `saved ${now}`;
    this.kept.dataset.kept = "saved";
  }

  saving() {
    this.kept.textContent = "saving";
    this.kept.dataset.kept = "saving";
  }

  get isUnsaved() {
    return this.kept.dataset.kept === "unsaved";
  }

  unsaved() {
    this.kept.textContent = "not saved";
    this.kept.dataset.kept = "unsaved";
  }
}
