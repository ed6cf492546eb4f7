// The job of a board: on which machine, which part of it, as it lies; made with progress and stop; then looked at, printed, run.

import { ask, CannotBe, tell } from "./asking.js";
import { drawing, find, make, mark } from "./elements.js";
import { Making } from "./making.js";
import { Marks } from "./marks.js";
import { doubt, machineChoice, problem } from "./parts.js";
import { byCommand } from "./shelf.js";
import { Ticks } from "./ticks.js";

const PLAN_AFTER_MS = 250;

const two = (count) => String(count).padStart(2, "0");
const clock = (seconds) => `${Math.floor(Math.round(seconds) / 60)}:${two(Math.round(seconds) % 60)}`;
export const minutes = ({ shortest_s: short, longest_s: long }) => {
  if (short === null || !Number.isFinite(short)) return "";
  return clock(short) === clock(long) ? clock(short) : `${clock(short)} to ${clock(long)}`;
};

class Job {
  constructor(name, machines, go) {
    this.name = name;
    this.go = go;
    this.address = `/board/${encodeURIComponent(name)}`;
    this.folder = `${name}-job`;
    this.head(machines);
    this.only = make("div", { class: "checks", role: "group", "aria-label": "Only these" });
    this.start = make("select", { id: "job-start", onchange: () => this.planSoon() });
    this.pointing = make("input", { type: "checkbox", id: "job-pointing", onchange: () => this.planSoon() });
    this.height = make("input", { type: "text", id: "job-height", placeholder: "1 mm", spellcheck: false, autocomplete: "off", oninput: () => this.planSoon() });
    this.carrier = make("input", { type: "checkbox", id: "job-carrier", onchange: () => this.planSoon() });
    this.marks = new Marks(() => this.planSoon());
    this.told = make("div", { class: "tolds", role: "status" });
    this.stages = make("div", {});
    this.making = new Making(name, "cut", () => this.order, (held) => this.hold(held));
    this.held = make("div", {});
    this.command = byCommand("");
  }

  head(machines) {
    this.title = make("h1", {}, this.name);
    this.stamp = make("p", { class: "stamp" });
    find("head").replaceChildren(
      make("div", {}, make("p", { class: "kicker" }, make("a", { href: "/" }, "all boards"), " · ", make("a", { href: this.address }, "the board")), this.title),
      this.stamp,
    );
    this.machines = machines;
    this.machine = machineChoice(machines, "job-machine", () => this.planSoon());
  }

  lay() {
    const option = (called, ...held) => make("details", { class: "ticket option" }, make("summary", {}, make("span", { class: "called" }, called)), make("div", { class: "body" }, held));
    this.setups = make("div", { class: "setups" });
    find("main").replaceChildren(
      this.setups,
      make(
        "div",
        { class: "one" },
        make(
          "div",
          { class: "tickets" },
          make("section", { class: "ticket open" }, make("div", { class: "body first" }, make("label", { class: "called", htmlFor: "job-machine" }, "On which machine?"), this.machine, make("p", {}, make("a", { href: "/machines" }, "Machines: make one your own")), this.stages, this.told)),
          option("Only a part of it", make("p", { class: "soft" }, "What is left out counts as cut before."), this.only, make("p", { class: "line" }, make("label", { htmlFor: "job-start" }, "From this cut on"), this.start)),
          option("It lies askew", this.marks.element),
          option("A look before the cut", make("p", { class: "soft" }, "Programs that only show: the spindle stays off, and the tip stops over every place."), make("p", { class: "line" }, this.pointing, make("label", { htmlFor: "job-pointing" }, "Make pointing runs too")), make("p", { class: "line" }, make("label", { htmlFor: "job-height" }, "How high over the wood the tip stops"), this.height)),
          (this.carrierTicket = option("The carrier", make("p", { class: "soft" }, "For a board that is longer than the travel: the carrier's dowel holes, in place of the board."), make("p", { class: "line" }, this.carrier, make("label", { htmlFor: "job-carrier" }, "Drill the carrier")))),
          make("section", { class: "ticket made" }, this.making.element, make("p", {}, make("a", { href: `${this.address}/fits` }, "What fits? Try it in scrap first."))),
        ),
      ),
      this.held,
      this.command,
    );
  }

  get order() {
    const only = [...this.only.querySelectorAll("input")].filter((each) => each.checked).map((each) => each.value);
    const all = only.length === this.only.querySelectorAll("input").length;
    return {
      name: this.name, kind: "cut", machine: this.machine.value, start: this.start.value, only: all ? [] : only, at: this.marks.said(),
      pointing: this.pointing.checked, point_height: this.pointing.checked ? this.height.value : "", carrier: this.carrier.checked,
    };
  }

  planSoon() {
    clearTimeout(this.planner);
    this.planner = setTimeout(() => this.plan(), PLAN_AFTER_MS);
  }

  async plan() {
    this.carrierTicket.hidden = !this.machines.find((each) => each.name === this.machine.value)?.carrier;
    let planned;
    try {
      planned = await tell("/api/plan", this.order);
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.told.replaceChildren(problem({ found: fault.message }));
      return;
    }
    this.command.lastChild.textContent = planned.command;
    const refused = planned.refused ?? [];
    this.making.may(refused.length === 0);
    this.told.replaceChildren(...refused.map(problem), ...(planned.warnings ?? []).map(doubt));
    if (refused.length) {
      this.told.append(make("p", {}, make("a", { href: this.address }, "To the board")));
      return;
    }
    this.choices(planned);
    this.stages.replaceChildren(make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Which cutter takes what" }, table(planned.stages)));
    this.setups.replaceChildren(...planned.setups.map((setup) => make("figure", { class: "across" }, make("figcaption", {}, `${setup.name} setup: ${setup.up}`), drawing(setup.drawing), make("ul", { class: "words" }, setup.words.map((word) => make("li", {}, word))))));
    this.marks.show(planned.marks);
  }

  // What can be chosen is what the whole job has; it stays while parts of it are chosen.
  choices({ groups, cuts }) {
    if (!this.only.childElementCount) {
      this.only.append(
        ...groups.map((group) => {
          const id = `only-${group.replaceAll(" ", "-")}`;
          return make("span", { class: "line" }, make("input", { type: "checkbox", id, value: group, checked: true, onchange: () => this.planSoon() }), make("label", { htmlFor: id }, group));
        }),
      );
      this.start.append(make("option", { value: "" }, "the first"), ...cuts.map((cut) => make("option", { value: cut }, cut)));
    }
  }

  hold(held) {
    const state = { made: "right", changed: "doubtful", "": "" }[held.made];
    this.stamp.hidden = !held.made;
    this.stamp.className = `stamp ${state}`;
    if (held.made) this.stamp.replaceChildren(mark(state), held.made === "made" ? "proved" : "changed since it was made");
    this.held.replaceChildren(...(held.made ? this.run(held) : []));
  }

  run(held) {
    const path = (file) => `/job/${encodeURIComponent(this.name)}/cut/${encodeURIComponent(file)}`;
    const untried = make("div", { class: "told doubtful" }, mark("doubtful"), make("p", {}, "This job was not tried in scrap: no coupon was made for this board."));
    const stale = make("div", { class: "told doubtful" }, mark("doubtful"), make("p", {}, "The board was changed since these programs were made. Make them again before you cut."));
    const look = make("details", { class: "look", ontoggle: () => look.open && !frame.src && (frame.src = path("dry-run.html")) }, make("summary", {}, "Look: the dry run"));
    const frame = make("iframe", { title: "The dry run", class: "dry-run", sandbox: "allow-scripts", referrerpolicy: "no-referrer" });
    look.append(frame);
    const print = make(
      "p",
      { class: "buttons" },
      make("a", { class: "button", href: path("job-card.pdf"), target: "_blank", rel: "noopener" }, "Print the job card"),
      make("a", { class: "button", href: `/template/${encodeURIComponent(this.name)}`, target: "_blank", rel: "noopener" }, "Print the template"),
      make("a", { class: "button", href: `/phone/${encodeURIComponent(this.name)}`, download: `${this.name}-job.html`, target: "_blank" }, "One file for the phone"),
    );
    return [
      make("h2", { class: "run-title" }, "To run, in this order"),
      make("p", { class: "soft" }, `In ${held.folder}, for ${held.machine || "a machine whose profile has changed since"}.`),
      held.made === "changed" ? stale : null,
      held.tried ? null : untried,
      new Ticks(`${this.name} ${held.folder}`, held).element,
      print,
      look,
    ].filter(Boolean);
  }
}

const table = (stages) =>
  make(
    "table",
    { class: "stages" },
    make("caption", {}, "Which cutter takes what, and how"),
    make("thead", {}, make("tr", {}, ["setup", "cutter", "cuts", "how", "rpm", "mm/min", "a pass"].map((head) => make("th", { scope: "col" }, head)))),
    make(
      "tbody",
      {},
      stages.map((stage) =>
        make("tr", {}, [stage.setup, `${stage.cutter} · ${stage.kind} ${stage.diameter_mm.toFixed(2)} mm`, stage.cuts.join(", "), stage.how.join(", "), stage.rpm.toFixed(0), stage.feed_mm_min.toFixed(0), `${stage.bite_mm.toFixed(2)} mm`].map((cell) => make("td", {}, cell))),
      ),
    ),
  );

export const openJob = async (name, go) => {
  const [{ machines }, board] = await Promise.all([ask("/api/machines"), ask(`/api/board/${encodeURIComponent(name)}`)]);
  const job = new Job(name, machines, go);
  const title = /^\s*title\s*=\s*"([^"\\]*)"/m.exec(board.text)?.[1];
  job.title.textContent = title || name;
  document.title = `${title || name} · the job`;
  job.lay();
  await job.plan();
  await job.making.follow();
  return () => job.making.leave();
};
