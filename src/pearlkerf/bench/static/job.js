// A job of a board: on which machine, which part of it, as it lies; made with progress and stop; then looked at, printed, run.
//
// Of three kinds, each at an address of its own: the board's programs, the pieces of its inlays, a strip to drill by.

import { ask, CannotBe, tell } from "./asking.js";
import { drawing, find, make, mark } from "./elements.js";
import { Making } from "./making.js";
import { Marks } from "./marks.js";
import { doubt, dryRun, forPhone, jobFile, machineChoice, problem, profileOf, shown, toRun } from "./parts.js";
import { byCommand } from "./shelf.js";
import { Ticks } from "./ticks.js";

const KINDS = {
  cut: { page: "job", called: "The board" },
  pieces: { page: "pieces", called: "The pieces of its inlays" },
  strip: { page: "strip", called: "A strip to drill its edge by" },
};
// what is printed with a job, as a button says it
const PRINTED = {
  "job-card.pdf": "Print the job card",
  "pieces-card.pdf": "Print the card of the pieces",
  "pieces-sheet.pdf": "Print the sheet that they are laid on",
  "strip-card.pdf": "Print the card of the strip",
};
const FACE_ALONE = "cut the face alone"; // in the hint of a board that is too tall for its edge
const PLAN_AFTER_MS = 250;

const two = (count) => String(count).padStart(2, "0");
const clock = (seconds) => `${Math.floor(Math.round(seconds) / 60)}:${two(Math.round(seconds) % 60)}`;
export const minutes = ({ shortest_s: short, longest_s: long }) => {
  if (short === null || !Number.isFinite(short)) return "";
  return clock(short) === clock(long) ? clock(short) : `${clock(short)} to ${clock(long)}`;
};

const typed = (id, placeholder, changed) => make("input", { type: "text", id, placeholder, spellcheck: false, autocomplete: "off", oninput: changed });
const line = (label, input, more = null) => make("p", { class: "line" }, make("label", { htmlFor: input.id }, label), input, more);
const tick = (label, input) => make("p", { class: "line" }, input, make("label", { htmlFor: input.id }, label));
const soft = (words) => make("p", { class: "soft" }, words);

class Job {
  constructor(name, machines, kind) {
    this.name = name;
    this.kind = kind;
    this.address = `/board/${encodeURIComponent(name)}`;
    this.head(machines);
    const soon = () => this.planSoon();
    this.only = make("div", { class: "checks", role: "group", "aria-label": "Only these" });
    this.singly = make("details", { hidden: true }, make("summary", {}, "One by one, such as one that broke"), (this.ones = make("div", { class: "checks", role: "group", "aria-label": "Only these pieces" })));
    this.named = typed("job-named", "such as frets 5 9", soon);
    this.start = make("select", { id: "job-start", onchange: soon });
    this.pointing = make("input", { type: "checkbox", id: "job-pointing", onchange: soon });
    this.height = typed("job-height", "1 mm", soon);
    this.carrier = make("input", { type: "checkbox", id: "job-carrier", onchange: soon });
    this.spares = typed("job-spares", "0", soon);
    this.apart = typed("job-apart", "10 mm", soon);
    this.strip = typed("job-strip", "as long as it needs, 8 mm thick", soon);
    this.marks = new Marks(soon);
    this.told = make("div", { class: "tolds", role: "status" });
    this.stages = make("div", {});
    this.positions = make("div", {});
    this.making = new Making(name, kind, () => this.order, (held) => this.hold(held));
    this.held = make("div", {});
    this.command = byCommand("");
  }

  head(machines) {
    this.title = make("h1", {}, this.name);
    this.stamp = make("p", { class: "stamp" });
    const kinds = Object.entries(KINDS).map(([kind, { page, called }]) => make("a", { href: `${this.address}/${page}`, class: "kind", "aria-current": kind === this.kind ? "page" : null }, called));
    find("head").replaceChildren(
      make("div", {}, make("p", { class: "kicker" }, make("a", { href: "/" }, "all boards"), " · ", make("a", { href: this.address }, "the board")), this.title),
      make("nav", { class: "kinds", "aria-label": "What is made" }, kinds),
      this.stamp,
    );
    this.stamp.hidden = true;
    this.machines = machines;
    this.machine = machineChoice(machines, "job-machine", () => this.planSoon());
  }

  lay() {
    this.setups = make("div", { class: "setups" });
    const scrap = this.kind === "cut" ? make("p", {}, make("a", { href: `${this.address}/fits` }, "What fits? Try it in scrap first.")) : null;
    const shell = this.kind === "pieces" ? make("p", {}, make("a", { href: `${this.address}/shell` }, "Lay them on photographs of your shell.")) : null;
    find("main").replaceChildren(
      this.setups,
      make(
        "div",
        { class: "one" },
        make(
          "div",
          { class: "tickets" },
          make("section", { class: "ticket open" }, make("div", { class: "body first" }, make("label", { class: "called", htmlFor: "job-machine" }, "On which machine?"), this.machine, make("p", {}, make("a", { href: "/machines" }, "Machines: make one your own")), this.stages, this.told)),
          this.options(),
          make("section", { class: "ticket made" }, this.making.element, scrap, shell),
        ),
      ),
      this.held,
      this.command,
    );
  }

  // What may be chosen, as the command of this kind takes it.
  options() {
    const option = (called, ...held) => make("details", { class: "ticket option" }, make("summary", {}, make("span", { class: "called" }, called)), make("div", { class: "body" }, held));
    const shows = soft("Programs that only show: the spindle stays off, and the tip stops over every place.");
    const points = tick("Make pointing runs too", this.pointing);
    if (this.kind === "strip") return [option("The strip", soft("It is clamped on the bass edge, its nut end against the board's, and every dot is drilled through it by hand."), line("Length × width × thickness", this.strip, make("span", { class: "soft" }, "such as 480x30x8")))];
    if (this.kind === "pieces") return [option("Only some of them", this.only, this.singly), option("Spares, and how blanks lie", line("So many more of each", this.spares), line("Between the blanks of a row", this.apart)), option("A look before the cut", shows, points)];
    return [
      option("Only a part of it", soft("What is left out counts as cut before."), this.only, line("Or these alone, by name", this.named), line("From this cut on", this.start)),
      option("It lies askew", this.marks.element),
      option("It is longer than the travel", this.positions),
      option("A look before the cut", shows, points, line("How high over the wood the tip stops", this.height)),
    ];
  }

  get order() {
    const of = (group) => [...group.querySelectorAll("input")];
    const chosen = (group) => of(group).filter((each) => each.checked).map((each) => each.value);
    const groups = chosen(this.only);
    const all = groups.length === of(this.only).length && this.kind === "cut";
    const named = this.kind === "cut" ? this.named.value.split(",").map((each) => each.trim()).filter(Boolean) : [];
    const only = [...(all ? [] : groups), ...named, ...chosen(this.ones)];
    const order = { name: this.name, kind: this.kind, machine: this.machine.value };
    if (this.kind === "strip") return { ...order, scrap: this.strip.value };
    const pointing = this.pointing.checked;
    if (this.kind === "pieces") return { ...order, only, spares: this.spares.value, apart: this.apart.value, pointing };
    return { ...order, start: this.start.value, only, at: this.marks.said(), pointing, point_height: pointing ? this.height.value : "", carrier: this.carrier.checked };
  }

  planSoon() {
    clearTimeout(this.planner);
    this.planner = setTimeout(() => this.plan(), PLAN_AFTER_MS);
  }

  async plan() {
    this.asked = (this.asked ?? 0) + 1;
    const mine = this.asked;
    if (this.kind === "cut" && this.only.childElementCount && !this.only.querySelector("input:checked") && !this.named.value.trim()) {
      this.making.may(false);
      this.told.replaceChildren(problem({ found: "nothing is chosen: tick what is to be cut" }));
      return;
    }
    let planned;
    try {
      planned = await tell("/api/plan", this.order);
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.making.may(false);
      this.told.replaceChildren(problem({ found: fault.message }));
      return;
    }
    if (mine !== this.asked) return; // another was asked for meanwhile
    this.command.lastChild.textContent = planned.command;
    const refused = planned.refused ?? [];
    this.making.may(refused.length === 0);
    this.told.replaceChildren(...refused.map(problem), ...(planned.warnings ?? []).map(doubt));
    if (refused.length) {
      this.stages.replaceChildren(); // what was planned before is not what is asked for now
      this.setups.replaceChildren();
      this.told.append(make("p", {}, make("a", { href: this.address }, "To the board")));
      if (planned.groups) this.choices(planned);
      if (planned.face?.length && refused.some((each) => each.hint.includes(FACE_ALONE))) this.told.append(this.mendByFace(planned.face));
      if (planned.marks) this.marks.show(planned.marks, planned.zeros);
      this.along(null);
      return;
    }
    this.choices(planned);
    this.stages.replaceChildren(make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Which cutter takes what" }, table(planned.stages)));
    this.setups.replaceChildren(...planned.setups.map((setup) => make("figure", { class: "across" }, make("figcaption", {}, `${setup.name} setup: ${setup.up}`), drawing(setup.drawing), make("ul", { class: "words" }, setup.words.map((word) => make("li", {}, word))))));
    this.marks.show(planned.marks, planned.zeros);
    this.along(planned.setups);
  }

  // Where the board is too tall to stand on its edge: its face alone, the edge drilled by hand through a strip.
  mendByFace(face) {
    const alone = () => {
      for (const each of this.only.querySelectorAll("input")) each.checked = face.includes(each.value);
      this.only.closest("details").open = true;
      this.plan();
    };
    return make("p", { class: "mends" }, make("button", { type: "button", onclick: alone }, "Cut the face alone"), make("a", { class: "button", href: `${this.address}/strip` }, "A strip to drill its edge by"));
  }

  // Positions along X, and the carrier that goes with them.
  along(setups) {
    const machine = this.machines.find((each) => each.name === this.machine.value);
    const parts = (setups ?? []).filter((each) => each.positions > 1);
    const moved = !setups ? "" : parts.length ? make("ul", { class: "words" }, parts.map((each) => make("li", {}, `${each.name}, of ${each.positions}: ${each.zero}`))) : soft("On this machine each setup is cut in one position.");
    const own = machine?.own ? `/machine/${encodeURIComponent(profileOf(machine))}?ticket=carrier` : "/machines";
    const without = make("p", {}, "This machine has no carrier, a strip of plywood with dowel holes on which a long board is moved by whole holes: ", make("a", { href: own }, machine?.own ? "give it one" : "make the machine your own, and give it one"), ".");
    const drill = [tick("Drill the carrier, in place of the board", this.carrier), soft("Once, before the board is cut on it: its dowel holes, and those in the bed.")];
    if (!machine?.carrier) this.carrier.checked = false;
    this.positions.replaceChildren(moved, ...(machine?.carrier ? drill : [without]));
  }

  // What can be chosen is what the whole job has; it stays while parts of it are chosen.
  choices({ groups, cuts }) {
    if (this.only.childElementCount) return;
    const box = (of, checked) => (name) => {
      const id = `${of}-${name.replaceAll(" ", "-")}`;
      return make("span", { class: "line" }, make("input", { type: "checkbox", id, value: name, checked, onchange: () => this.planSoon() }), make("label", { htmlFor: id }, name));
    };
    const cut = this.kind === "cut";
    this.only.append(...groups.map(box("only", cut)));
    if (this.kind === "pieces") this.ones.append(...cuts.map(box("one", false)));
    this.singly.hidden = this.kind !== "pieces";
    if (cut) this.start.append(make("option", { value: "" }, "the first"), ...cuts.map((each) => make("option", { value: each }, each)));
  }

  hold(held) {
    const state = { made: "right", changed: "doubtful", "": "" }[held.made];
    this.stamp.hidden = !held.made;
    this.stamp.className = `stamp ${state}`;
    if (held.made) this.stamp.replaceChildren(mark(state), held.made === "made" ? "proved" : "changed since it was made");
    this.held.replaceChildren(...(held.made ? this.run(held) : []));
  }

  run(held) {
    const { name, kind } = this;
    const untried = make("div", { class: "told doubtful" }, mark("doubtful"), make("p", {}, "This job was not tried in scrap: no coupon was made for this board."));
    const printed = held.files.filter((file) => file.endsWith(".pdf")).map((file) => shown(jobFile(name, kind, file), PRINTED[file] ?? `Print ${file}`));
    const template = kind === "cut" ? shown(`/template/${encodeURIComponent(name)}`, "Print the template") : null;
    return [
      ...toRun(held),
      held.tried || kind !== "cut" ? null : untried,
      new Ticks(`${name} ${held.folder}`, held).element,
      make("p", { class: "buttons" }, printed, template, forPhone(name, kind, held)),
      kind === "cut" ? byCommand(held.commands.template) : null,
      byCommand(held.commands.phone),
      dryRun(name, kind),
    ].filter(Boolean);
  }
}

const table = (stages) =>
  make(
    "table",
    { class: "stages" },
    make("caption", {}, "Which cutter takes what, and how"),
    make("thead", {}, make("tr", {}, ["setup", "cutter", "cuts", "how", "rpm", "feed", "a pass"].map((head) => make("th", { scope: "col" }, head)))),
    make(
      "tbody",
      {},
      stages.map((stage) =>
        make("tr", {}, [stage.setup, `${stage.cutter} · ${stage.kind} ${stage.diameter}`, stage.cuts.join(", "), stage.how.join(", "), stage.rpm, stage.feed, stage.bite].map((cell) => make("td", {}, cell))),
      ),
    ),
  );

const openKind = (kind) => async (name) => {
  const [{ machines }, board] = await Promise.all([ask("/api/machines"), ask(`/api/board/${encodeURIComponent(name)}`)]);
  const job = new Job(name, machines, kind);
  const title = /^\s*title\s*=\s*"([^"\\]*)"/m.exec(board.text)?.[1];
  job.title.textContent = title || name;
  document.title = `${title || name} · ${KINDS[kind].called.toLowerCase()}`;
  job.lay();
  await job.plan();
  await job.making.follow();
  return () => job.making.leave();
};

export const openJob = openKind("cut");
export const openPieces = openKind("pieces");
export const openStrip = openKind("strip");
