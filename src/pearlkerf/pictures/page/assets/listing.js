// The program's text beside the picture.  Only the lines in sight exist in the page.

import { RAPID } from "./track.js";

const SPARE_ROWS = 12;

export class Listing {
  constructor(box, spacer, choose) {
    Object.assign(this, { box, spacer, choose });
    this.rows = new Map();
    this.line = 0;
    box.addEventListener("scroll", () => this.fill());
    box.addEventListener("click", (event) => {
      const row = event.target.closest("[data-line]");
      if (row) choose(Number(row.dataset.line));
    });
    box.addEventListener("keydown", (event) => this.onKey(event));
    new ResizeObserver(() => this.measure()).observe(box);
  }

  take(track, faults) {
    this.track = track;
    this.faults = faults;
    this.rows.forEach((row) => row.remove());
    this.rows.clear();
    this.line = 0;
    this.kinds = this.kindOfEachLine();
    this.measure();
    this.box.scrollTop = 0;
  }

  kindOfEachLine() {
    const kinds = new Int8Array(this.track.lines.length + 1).fill(-1);
    for (let row = 0; row < this.track.count; row += 1) kinds[this.track.line[row]] = this.track.kind(row) === RAPID ? 0 : 1;
    return kinds;
  }

  measure() {
    if (!this.track) return;
    const probe = this.makeRow(1);
    this.spacer.append(probe);
    this.rowHeight = probe.getBoundingClientRect().height || 22;
    probe.remove();
    this.spacer.style.height = `${this.rowHeight * this.track.lines.length}px`;
    this.rows.forEach((row) => row.remove());
    this.rows.clear();
    this.fill();
  }

  fill() {
    if (!this.track) return;
    const first = Math.max(1, Math.floor(this.box.scrollTop / this.rowHeight) + 1 - SPARE_ROWS);
    const last = Math.min(this.track.lines.length, Math.ceil((this.box.scrollTop + this.box.clientHeight) / this.rowHeight) + SPARE_ROWS);
    for (const [line, row] of this.rows) {
      if (line >= first && line <= last) continue;
      row.remove();
      this.rows.delete(line);
    }
    let next = null;
    for (let line = last; line >= first; line -= 1) {
      let row = this.rows.get(line);
      if (!row) {
        row = this.makeRow(line);
        this.rows.set(line, row);
        this.spacer.insertBefore(row, next);
      }
      next = row;
    }
    this.markRow();
  }

  makeRow(line) {
    const row = document.createElement("div");
    row.id = `line-${line}`;
    row.dataset.line = String(line);
    row.setAttribute("role", "option");
    row.setAttribute("aria-setsize", String(this.track.lines.length));
    row.setAttribute("aria-posinset", String(line));
    row.setAttribute("aria-selected", "false");
    row.style.top = `${(line - 1) * (this.rowHeight || 22)}px`;
    const number = document.createElement("span");
    number.className = "number";
    number.textContent = String(line);
    const kind = document.createElement("span");
    kind.className = this.faults.has(line) ? "kind fault" : "kind";
    kind.textContent = this.faults.has(line) ? "!" : ["┄", "─"][this.kinds[line]] || "";
    kind.setAttribute("aria-hidden", "true");
    const text = document.createElement("span");
    text.className = "words";
    text.textContent = this.track.lines[line - 1] || " ";
    row.append(number, kind, text);
    if (text.textContent.trimStart().startsWith("(")) row.classList.add("comment");
    return row;
  }

  // Marks a line as the one that runs, and brings it into sight.
  mark(line) {
    if (line === this.line) return;
    this.line = line;
    const top = (line - 1) * this.rowHeight;
    const { scrollTop, clientHeight } = this.box;
    if (top < scrollTop + this.rowHeight || top > scrollTop + clientHeight - 2 * this.rowHeight) {
      this.box.scrollTop = Math.max(0, top - clientHeight * 0.4);
    }
    this.fill();
  }

  markRow() {
    this.box.querySelectorAll('[aria-selected="true"]').forEach((row) => row.setAttribute("aria-selected", "false"));
    const row = this.rows.get(this.line);
    if (!row) {
      this.box.removeAttribute("aria-activedescendant");
      return;
    }
    row.setAttribute("aria-selected", "true");
    this.box.setAttribute("aria-activedescendant", row.id);
  }

  onKey(event) {
    const page = Math.max(1, Math.floor(this.box.clientHeight / this.rowHeight) - 1);
    const step = { ArrowUp: -1, ArrowDown: 1, PageUp: -page, PageDown: page, Home: -1e9, End: 1e9 }[event.key];
    if (step === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    event.stopPropagation();
    const line = Math.min(this.track.lines.length, Math.max(1, this.line + step));
    this.mark(line); // at once: keys may come faster than pictures
    this.choose(line);
  }
}
