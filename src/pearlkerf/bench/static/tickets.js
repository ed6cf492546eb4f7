// The tickets: a card for each part of the board, in the maker's order, one open at a time.
//
// What is typed in stays as it is while it is typed: fields are made once, and filled again only where no hand is.

import { make, mark } from "./elements.js";
import { Field } from "./field.js";
import { offerKnown } from "./known.js";
import { told } from "./told.js";

const shapeOf = (ticket) => JSON.stringify(ticket.sections.map((section) => [section.table, section.present, section.rows.map((row) => row.fields.map((field) => [field.key, typeof field.typed]))]));

// What one of many tables comes to, in a line, by what is typed in its fields.
const first = (words) => make("strong", {}, words || "?");
const LINES = {
  cutter: (typed) => [first(typed("number")), typed("kind"), typed("diameter") && `${typed("diameter")} across`, typed("flutes") && `${typed("flutes")} flutes`, typed("reach") && `reach ${typed("reach")}`, typed("runout") && `runout ${typed("runout")}`],
  inlay: (typed) => [first(typed("name") || typed("outline") || typed("shape") || typed("text")), typed("frets") && `fret spaces ${typed("frets")}`, typed("on_frets") && `on frets ${typed("on_frets")}`, typed("along") && `${typed("along")} along`, typed("material")],
  inlay_blank: (typed) => [first(typed("material")), typed("length") && typed("width") && `${typed("length")} × ${typed("width")}`, typed("thickness") && `${typed("thickness")} thick`, typed("count") && `${typed("count")} of them`],
  partial: (typed) => [first(`fret ${typed("fret")}`), typed("strings") && `strings ${typed("strings")}`],
  holding: (typed) => [first(typed("name"))],
};

class Ticket {
  constructor(board, held, toggle) {
    this.board = board;
    this.name = held.name;
    this.sum = make("span", { class: "sum" });
    this.marks = make("span", { class: "marks" });
    this.button = make("button", { type: "button", "aria-expanded": "false", "aria-controls": `ticket-${held.name}`, onclick: () => toggle(this.name) }, make("span", { class: "called" }, held.called), this.sum, this.marks);
    this.body = make("div", { class: "body", id: `ticket-${held.name}`, hidden: true });
    this.element = make("section", { class: "ticket", data: { ticket: held.name } }, make("h2", {}, this.button), this.body);
    this.shape = "";
    this.fields = [];
  }

  show(held, open) {
    if (!open && !this.opened && held === this.held) return; // shut, as it was
    this.held = held;
    this.opened = open;
    this.sum.textContent = held.sum;
    const counts = [["wrong", held.wrong], ["doubtful", held.doubtful]].filter(([, count]) => count);
    this.marks.replaceChildren(...counts.map(([weight, count]) => make("span", { class: weight }, mark(weight), make("span", { class: "spoken" }, weight), String(count))));
    this.element.classList.toggle("open", open);
    this.button.setAttribute("aria-expanded", String(open));
    this.body.hidden = !open;
    if (!open) {
      this.shape = "";
      this.body.replaceChildren();
      this.fields = [];
      return;
    }
    const shape = shapeOf(held);
    if (shape !== this.shape) this.build(shape);
    this.fill();
  }

  build(shape) {
    const hand = document.activeElement?.id;
    this.shape = shape;
    this.fields = [];
    this.tolds = [];
    const first = this.name === "inlays" ? [this.board.adder.shown()] : [];
    this.body.replaceChildren(...first, ...this.held.sections.map((section, index) => this.section(section, index)));
    if (this.board.kind === "board") offerKnown(this.board, this.fields.map(([field]) => field));
    if (hand && this.body.querySelector(`#${CSS.escape(hand)}`)) document.getElementById(hand).focus();
  }

  section(held, at) {
    const edit = (edit) => () => this.board.edit([edit]);
    const word = held.table.replaceAll("_", " ");
    const named = held.table && this.held.sections.length > 1 ? make("h3", {}, word) : null;
    const about = make("div", { class: "tolds" });
    this.tolds.push([about, (sections) => sections[at].told]);
    const one = held.many && held.whole;
    const buttons = [];
    if (held.whole && !held.present && !held.many) buttons.push(make("button", { type: "button", onclick: edit({ do: "add", at: [held.table] }) }, `Add ${word}`));
    if (one) buttons.push(make("button", { type: "button", onclick: edit({ do: "add", at: [held.table], value: [{}] }) }, held.present ? "Add another" : `Add ${word}`));
    if (held.whole && held.present && !held.required && !held.many) buttons.push(make("button", { type: "button", class: "quiet", onclick: edit({ do: "remove", at: [held.table] }) }, `Leave ${word} out`));
    return make(
      "div",
      { class: "section", data: { section: held.table } },
      named,
      held.table && held.whole && held.meaning !== "may be left out" ? make("p", { class: "soft" }, held.meaning) : null,
      about,
      held.rows.map((row, index) => this.row(held, row, at, index)),
      make("p", { class: "buttons" }, buttons),
    );
  }

  row(section, held, at, index) {
    const about = make("div", { class: "tolds" });
    this.tolds.push([about, (sections) => sections[at].rows[index].told]);
    const needed = (field) => field.required || field.given || field.told.length || section.rows[0].fields.length < 5;
    const made = held.fields.map((field, number) => {
      const one = new Field(this.board, field, section.whole ? "" : section.table);
      this.fields.push([one, (sections) => sections[at].rows[index].fields[number]]);
      return [one, needed(field)];
    });
    const first = made.filter(([, now]) => now).map(([one]) => one.element);
    const more = made.filter(([, now]) => !now).map(([one]) => one.element);
    const drop = section.many ? make("button", { type: "button", class: "quiet", onclick: () => this.board.edit([{ do: "remove", at: held.place }]) }, "Leave this one out") : null;
    if (LINES[section.table] && (section.table === "cutter" || section.rows.length > 1)) return this.folded(section.table, held, [about, first, more.length ? make("details", { class: "more" }, make("summary", {}, "More that can be said"), more) : null, drop]);
    return make("div", { class: "row" }, about, first, more.length ? make("details", { class: "more" }, make("summary", {}, "More that can be said"), more) : null, drop);
  }

  // One of many is a line until it is taken in hand.
  folded(table, held, inside) {
    const typed = (key) => held.fields.find((field) => field.key === key)?.typed ?? "";
    const told = held.told.length + held.fields.reduce((count, field) => count + field.told.length, 0);
    const line = LINES[table](typed).filter(Boolean);
    return make("details", { class: "row cutter", open: told > 0 }, make("summary", {}, line.flatMap((part) => [part, " · "]).slice(0, -1), told ? mark("wrong") : null), inside);
  }

  fill() {
    const { sections } = this.held;
    for (const [field, of] of this.fields) field.show(of(sections));
    for (const [place, of] of this.tolds) place.replaceChildren(...of(sections).map((each) => told(each, this.board)));
  }
}

export class Tickets {
  constructor(board) {
    this.board = board;
    this.opened = new URLSearchParams(location.search).get("ticket") ?? "";
    this.tickets = new Map();
    this.element = make("div", { class: "tickets", onkeydown: (event) => this.key(event) });
    this.byAddress = () => {
      this.opened = new URLSearchParams(location.search).get("ticket") ?? "";
      this.show();
    };
  }

  show() {
    const held = this.board.view.tickets;
    this.element.classList.toggle("stale", !held);
    if (!held) return;
    for (const each of held) {
      if (this.tickets.has(each.name)) continue;
      const ticket = new Ticket(this.board, each, (name) => this.toggle(name));
      this.tickets.set(each.name, ticket);
      this.element.append(ticket.element);
    }
    for (const each of held) this.tickets.get(each.name).show(each, each.name === this.opened);
  }

  toggle(name) {
    this.opened = this.opened === name ? "" : name;
    this.address(true);
    this.board.drawings.light(null);
    this.show();
  }

  // The address names the ticket and the fret, so that Back works and a page can be found again.
  address(step = false) {
    const said = new URLSearchParams();
    if (this.opened) said.set("ticket", this.opened);
    if (this.board.fret) said.set("fret", String(this.board.fret));
    const address = `${location.pathname}${said.size ? `?${said}` : ""}`;
    if (step) history.pushState(null, "", address);
    else history.replaceState(null, "", address);
  }

  openAt(place) {
    const [table, ...rest] = place.map(String);
    const holds = (ticket, key) => ticket.sections.some((section) => section.table === table && (!key || section.rows.length === 0 || section.rows.some((row) => row.fields.some((field) => field.key === key))));
    const key = rest.find((part) => !/^\d+$/.test(part)) ?? "";
    const tickets = this.board.view.tickets ?? [];
    const found = tickets.find((ticket) => holds(ticket, key)) ?? tickets.find((ticket) => holds(ticket, "")) ?? tickets.find((ticket) => ticket.sections.some((section) => section.table === "" && section.rows[0].fields.some((field) => field.key === table)));
    if (!found) return;
    if (this.opened !== found.name) this.toggle(found.name);
    const fields = this.tickets.get(found.name).fields.map(([field]) => field);
    const field = fields.find((each) => each.isAt(place)) ?? fields.find((each) => String(each.held.place[0]) === table && !key);
    if (!field) return this.tickets.get(found.name).button.focus();
    field.reveal();
  }

  // Up and down between tickets, Esc shuts the one that is open.
  key(event) {
    const buttons = [...this.tickets.values()].map((each) => each.button);
    const at = buttons.indexOf(event.target);
    const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (at >= 0 && by) {
      event.preventDefault();
      buttons[Math.max(0, Math.min(buttons.length - 1, at + by))].focus();
    } else if (event.key === "Escape" && this.opened) {
      const { button } = this.tickets.get(this.opened);
      this.toggle(this.opened);
      button.focus();
    }
  }
}
