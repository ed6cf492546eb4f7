// The machines: those that come along, and the maker's own, each a form like a board's; and what each cutter will take.

import { ask, CannotBe, tell } from "./asking.js";
import { Board, opened } from "./board.js";
import { find, make, mark } from "./elements.js";
import { minutes } from "./job.js";
import { problem, profileOf } from "./parts.js";
import { byCommand, otherName } from "./shelf.js";

export const openMachines = async (_, go) => {
  const { machines } = await ask("/api/machines");
  document.title = "The machines";
  find("head").replaceChildren(make("div", {}, make("p", { class: "kicker" }, make("a", { href: "/" }, "all boards")), make("h1", {}, "Machines")));
  const own = machines.filter((each) => each.own);
  const others = machines.filter((each) => !each.own);
  const copied = (made) => go(`/machine/${encodeURIComponent(made.name)}`);
  const card = (each) =>
    make(
      "li",
      { class: "card ticket" },
      make(each.own ? "a" : "div", { class: "board-link", ...(each.own ? { href: `/machine/${encodeURIComponent(profileOf(each))}` } : {}) }, make("span", { class: "called" }, each.title), make("span", { class: "file" }, [each.name, each.travel && `travel ${each.travel}`].filter(Boolean).join(" · ")), each.wrong ? make("span", { class: "state wrong" }, mark("wrong"), "has mistakes") : null),
      each.cutters.length ? make("details", { class: "of-machine" }, make("summary", {}, `Its cutters: ${each.cutters.length}`), make("ul", { class: "words" }, each.cutters.map((cutter) => make("li", {}, cutter)))) : null,
      make("div", { class: "actions" }, otherName(each.own ? "Copy" : "Make it your own", "machine-copy", { machine: each.name }, each.own ? `${profileOf(each)} 2` : "my router", copied)),
    );
  find("main").replaceChildren(
    make("p", { class: "soft" }, "A profile says what your machine is: its travel, its limits, its cutters. What is proved is proved for them, so take the nearest, make it your own, and measure."),
    ...(own.length ? [make("h2", {}, "Your own"), make("ul", { class: "shelf" }, own.map(card))] : []),
    make("h2", {}, "That come along"),
    make("ul", { class: "shelf" }, others.map(card)),
    byCommand("pearlkerf machines benchtop-arcs > my-router.toml"),
  );
  return () => {};
};

class Machine extends Board {
  lay() {
    this.takes = make("section", { class: "all-told takes" });
    find("main").replaceChildren(
      this.notices,
      make("div", { class: "table" }, this.tickets.element, make("aside", { class: "beside", "aria-label": "What is told, and what each cutter takes" }, this.told, this.takes)),
      this.textView.element,
      (this.command = byCommand("")),
    );
  }

  // For which board, and then which cutter takes what of it, how long, and why.
  async chooseBoard(boards) {
    const select = make("select", { id: "takes-board" }, make("option", { value: "" }, "choose one"), boards.map((each) => make("option", { value: each.name }, each.title)));
    const shown = make("div", { class: "shown", role: "status" });
    select.addEventListener("change", () => this.take_what(select.value, shown));
    this.takes.replaceChildren(make("h2", {}, "What will it take?"), make("p", { class: "line" }, make("label", { htmlFor: "takes-board" }, "Of the board"), select), shown);
  }

  async take_what(name, shown) {
    if (!name) return shown.replaceChildren();
    await this.save();
    try {
      const told = await tell("/api/ways", { name, machine: `./${this.name}.toml` });
      if (told.refused) return shown.replaceChildren(...told.refused.map(problem));
      const row = (way) => make("tr", { class: way.chosen ? "chosen" : "" }, make("td", {}, way.cuts), make("td", {}, make("button", { type: "button", class: "where", onclick: () => this.openCutter(way.cutter) }, `${way.cutter} · ${way.kind} ${way.diameter_mm.toFixed(2)}`)), make("td", {}, way.how.join(", ")), make("td", {}, minutes(way)), make("td", {}, way.chosen ? [mark("right"), make("span", { class: "spoken" }, "taken")] : ""));
      shown.replaceChildren(
        make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Ways" }, make("table", {}, make("caption", {}, "Every way that this machine has, and how long it takes"), make("thead", {}, make("tr", {}, ["cuts", "cutter", "how", "min:s", "taken"].map((head) => make("th", { scope: "col" }, head)))), make("tbody", {}, told.ways.map(row)))),
        make("details", {}, make("summary", {}, "Why, and how wide it really cuts"), make("ul", { class: "words" }, [...told.why, ...told.widths].map((each) => make("li", {}, each)))),
        byCommand(told.command),
      );
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      shown.replaceChildren(problem({ found: fault.message }));
    }
    return undefined;
  }

  // The figures that may be changed: those of the cutter, in its own line.
  openCutter(number) {
    const rows = this.view.tickets.flatMap((ticket) => ticket.sections).find((section) => section.table === "cutter")?.rows ?? [];
    const at = rows.findIndex((row) => row.fields.find((field) => field.key === "number")?.typed === String(number));
    if (at >= 0) this.open(["cutter", String(at), "bite"]);
  }
}

export const openMachine = async (name, go) => {
  const [held, { boards }] = await Promise.all([ask(`/api/board/${encodeURIComponent(name)}`), ask("/api/boards")]);
  const machine = new Machine(name, held, go, "machine");
  const leave = await opened(machine);
  await machine.chooseBoard(boards);
  return leave;
};
