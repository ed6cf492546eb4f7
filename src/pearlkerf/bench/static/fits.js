// What fits?  The coupon as a conversation; an inlay with its piece, where the board has one; then the calibration piece, whose figures say how true the machine is.

import { ask, CannotBe, tell } from "./asking.js";
import { drawing, find, make, mark, say } from "./elements.js";
import { doubt, jobFile, machineChoice, problem, shown } from "./parts.js";
import { Making } from "./making.js";
import { byCommand } from "./shelf.js";

const AFTER_MS = 300;

class Piece {
  constructor(page, kind, called, about) {
    this.page = page;
    this.kind = kind;
    this.scrap = make("input", { type: "text", id: `${kind}-scrap`, placeholder: "as long as it needs", spellcheck: false, autocomplete: "off", oninput: () => this.planSoon() });
    this.told = make("div", { class: "tolds", role: "status" });
    this.shown = make("div", { class: "shown" });
    this.more = make("div", {});
    this.command = byCommand("");
    this.making = new Making(page.name, kind, () => this.order, (held) => this.made(held));
    this.print = make("p", { class: "buttons" });
    this.body = make(
      "div",
      { class: "body" },
      make("p", { class: "soft" }, about),
      make("p", { class: "line" }, make("label", { htmlFor: this.scrap.id }, "Scrap: length × width × thickness"), this.scrap, make("span", { class: "soft" }, "such as 200x40x6")),
      this.more,
      this.told,
      this.making.element,
      this.print,
      this.shown,
      this.command,
    );
    this.element = make("section", { class: "ticket open" }, make("h2", { class: "called" }, called), this.body);
  }

  get order() {
    return { name: this.page.name, kind: this.kind, machine: this.page.machine.value, scrap: this.scrap.value };
  }

  planSoon() {
    clearTimeout(this.later);
    this.later = setTimeout(() => this.plan(), AFTER_MS);
  }

  async plan() {
    try {
      const planned = await tell("/api/piece", this.order);
      this.command.lastChild.textContent = planned.command;
      const refused = planned.refused ?? [];
      this.choices?.(planned);
      this.making.may(refused.length === 0);
      this.told.replaceChildren(...refused.map(problem), ...(planned.left_out ?? []).map(doubt));
      if (!refused.length) this.show(planned);
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.told.replaceChildren(problem({ found: fault.message }));
    }
  }

  made(held) {
    const card = this.kind === "calibration" ? "calibration-card.pdf" : "coupon-card.pdf";
    const print = (file, called) => shown(jobFile(this.page.name, this.kind, file), called);
    const sheet = this.kind === "inlay" ? [print("pieces-sheet.pdf", "Print the sheet of its blanks")] : [];
    const links = held.made ? [print(card, "Print its card"), ...sheet, make("span", { class: "soft" }, `${held.programs.length} programs in ${held.folder}`)] : [];
    this.print.replaceChildren(...links);
  }
}

const FITS = {
  kind: "coupon",
  called: "Which one fits?",
  about: "A strip of scrap of the board's wood, with pockets, slots and holes in small steps of size, cut as the board will be. Cut it, try your shell, rod and wire, and touch what fits.",
  usual: ["-0.05 mm", "0.1 mm", "0.025 mm"],
  against: "against the board's own size",
};
const INLAY = {
  kind: "inlay",
  called: "Which gap for an inlay?",
  about: "Its piece is cut from a blank, and the pocket for it into scrap, in small steps of the gap; or one pocket, and a piece for each gap. Cut both, try them, and touch what fits.",
  usual: ["-0.03 mm", "0.05 mm", "0.01 mm"],
  against: "against the board's gap, on each side",
};

class Coupon extends Piece {
  constructor(page, { kind, called, about, usual, against }) {
    super(page, kind, called, about);
    this.inlays = [];
    this.steps = ["smallest", "largest", "step"].map((name, index) => make("input", { type: "text", id: `${kind}-${name}`, placeholder: usual[index], spellcheck: false, autocomplete: "off", oninput: () => this.planSoon() }));
    this.only = make("div", { class: "checks", role: "group", "aria-label": "What is tried" });
    this.more.append(this.only, make("p", { class: "line" }, ["from", "to", "by"].flatMap((word, index) => [make("label", { htmlFor: this.steps[index].id }, word), this.steps[index]]), make("span", { class: "soft" }, against)));
  }

  get order() {
    const [smallest, largest, step] = this.steps.map((each) => each.value);
    const boxes = [...this.only.querySelectorAll("input")];
    const only = boxes.filter((each) => each.checked).map((each) => each.value);
    return { ...super.order, only: only.length === boxes.length ? [] : only, smallest, largest, step };
  }

  // What can be tried is what the whole board has; one of them is tried at least.
  choices({ groups = [], inlays = [] }) {
    this.inlays = inlays;
    if (this.only.childElementCount || groups.length < 2) return;
    const least = () => {
      const on = [...this.only.querySelectorAll("input:checked")];
      for (const each of this.only.querySelectorAll("input")) each.disabled = on.length === 1 && each.checked;
      this.planSoon();
    };
    this.only.append(
      ...groups.map((group) => {
        const id = `try-${group.replaceAll(" ", "-")}`;
        return make("span", { class: "line" }, make("input", { type: "checkbox", id, value: group, checked: true, onchange: least }), make("label", { htmlFor: id }, group));
      }),
    );
  }

  show(planned) {
    this.planned = planned;
    const strip = drawing(planned.strip);
    strip.addEventListener("click", (event) => {
      const name = event.target.closest("[data-name]")?.dataset.name;
      if (name) this.choose(name);
    });
    this.strip = strip;
    this.with = make("input", { type: "text", id: `${this.kind}-with`, placeholder: "such as: wire 52, shell 1.3", autocomplete: "off", spellcheck: false });
    this.shown.replaceChildren(
      make("figure", { class: "across strip-picture" }, make("figcaption", {}, "Touch the one that fits"), strip),
      ...planned.trials.map((trial) => this.trial(trial)),
      make("p", { class: "line" }, make("label", { htmlFor: this.with.id }, "Tried with"), this.with, make("span", { class: "soft" }, "kept in the notebook of fits")),
    );
  }

  trial(trial) {
    const list = make("div", { class: "segments samples", role: "group", "aria-label": `Which ${trial.noun} fits` }, trial.samples.map((each) => make("button", { type: "button", data: { sample: each.name }, onclick: () => this.take(trial, each.fit_mm) }, make("strong", {}, String(each.number)), make("span", {}, each.size), make("span", { class: "soft" }, `${each.notches} · ${each.fit}`))));
    const known = trial.known.map((each) => make("p", { class: "known" }, `Found before with ${each.cutter} in ${each.wood || "this wood"}${each.with ? `, ${each.with}` : ""}: `, make("button", { type: "button", onclick: () => this.take(trial, each.fit_mm, false) }, `use ${each.fit}`)));
    const now = make("span", { class: "now-fit" }, `the board has ${trial.now}`);
    return make("section", { class: "trial", data: { group: trial.group } }, make("h3", {}, `${trial.noun}s, ${trial.cutter} `, now), make("p", { class: "soft" }, trial.how), known, list);
  }

  choose(name) {
    this.shown.querySelector(`[data-sample="${CSS.escape(name)}"]`)?.focus();
    for (const each of this.strip.querySelectorAll(".lit")) each.classList.remove("lit");
    for (const each of this.strip.querySelectorAll(`[data-name="${CSS.escape(name)}"]`)) each.classList.add("lit");
  }

  async take(trial, fit, note = true) {
    try {
      const taken = await tell("/api/fit", { name: this.page.name, group: trial.group, at: trial.at, fit_mm: fit, cutter: trial.cutter, with_what: this.with.value.trim(), note });
      say(`the fit is in the board: ${taken.fit}`);
      await this.plan();
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.told.replaceChildren(problem({ found: fault.message }));
    }
  }
}

class OneInlay extends Coupon {
  constructor(page, inlays) {
    super(page, INLAY);
    const select = (id, words) => make("select", { id, onchange: () => this.plan() }, words.map(([value, said]) => make("option", { value }, said)));
    this.of = select("inlay-of", [["", "the smallest"], ...inlays.map((name) => [name, name])]);
    this.several = select("inlay-several", [["", "pockets, and one piece"], ["pieces", "pieces, and one pocket"]]);
    const line = (called, of) => make("p", { class: "line" }, make("label", { htmlFor: of.id }, called), of);
    this.only.replaceWith(line("Which inlay", this.of), line("In steps", this.several));
  }

  get order() {
    return { ...super.order, of: this.of.value, several: this.several.value };
  }

  choices() {}
}

class Calibration extends Piece {
  constructor(page) {
    super(page, "calibration", "Is the machine true?", "A piece that one cutter cuts; what you measure on it says how true steps, squareness and backlash are, and how far the cutter runs out.");
    this.says = make("div", { class: "says", role: "status" });
    this.inputs = new Map();
  }

  show(planned) {
    this.planned = planned;
    const kept = new Map([...this.inputs].map(([what, input]) => [what, input.value]));
    this.inputs.clear();
    const rows = planned.asked.map(({ what, how, should }, index) => {
      const input = make("input", { type: "text", id: `measured-${index}`, value: kept.get(what) ?? "", spellcheck: false, autocomplete: "off", oninput: () => this.saySoon() });
      this.inputs.set(what, input);
      return make("p", { class: "line measured" }, make("label", { htmlFor: input.id }, what), input, make("span", { class: "soft" }, `${how}: should be ${should}`));
    });
    this.shown.replaceChildren(make("h3", {}, "What did you measure?"), ...rows, this.says);
    this.saying();
  }

  saySoon() {
    clearTimeout(this.sayer);
    this.sayer = setTimeout(() => this.saying(), AFTER_MS);
  }

  async saying() {
    const measured = Object.fromEntries([...this.inputs].map(([what, input]) => [what, input.value]));
    if (!Object.values(measured).some(Boolean)) return this.says.replaceChildren();
    const { told = [], wrong = {} } = await tell("/api/measured", { ...this.order, measured });
    this.says.replaceChildren(
      ...Object.entries(wrong).map(([key, found]) => problem({ key, found })),
      ...told.map((each) => {
        const weight = each.right ? "right" : "doubtful";
        const fill = each.concern === "runout" && each.figure >= 0 ? make("button", { type: "button", onclick: () => this.fill(each.figure) }, "Write it into the profile") : null;
        return make("div", { class: `told ${weight === "right" ? "fine" : weight}` }, mark(weight), make("p", {}, make("strong", {}, `${each.concern}: ${each.said}`), `, ${each.words}`), fill);
      }),
    );
  }

  async fill(runout) {
    try {
      const filled = await tell("/api/runout", { ...this.order, number: this.planned.cutter, runout_mm: runout });
      this.says.append(make("p", { class: "right" }, `Cutter ${filled.number} of ${filled.machine} now has a runout of ${filled.runout_mm} mm.`));
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.says.append(problem({ found: fault.message }));
    }
  }
}

export const openFits = async (name) => {
  const { machines } = await ask("/api/machines");
  await ask(`/api/board/${encodeURIComponent(name)}`);
  document.title = `${name} · what fits?`;
  const page = { name, machine: null };
  page.machine = machineChoice(machines, "fits-machine", () => pieces.forEach((piece) => piece.plan()));
  const coupon = new Coupon(page, FITS);
  await coupon.plan();
  const pieces = [coupon, ...(coupon.inlays.length ? [new OneInlay(page, coupon.inlays)] : []), new Calibration(page)];
  const address = `/board/${encodeURIComponent(name)}`;
  find("head").replaceChildren(make("div", {}, make("p", { class: "kicker" }, make("a", { href: "/" }, "all boards"), " · ", make("a", { href: address }, "the board"), " · ", make("a", { href: `${address}/job` }, "the job")), make("h1", {}, "What fits?")));
  find("main").replaceChildren(make("p", { class: "line" }, make("label", { class: "called", htmlFor: "fits-machine" }, "On which machine?"), page.machine), make("div", { class: "tickets" }, pieces.map((piece) => piece.element)));
  await Promise.all(pieces.slice(1).map((piece) => piece.plan()));
  await Promise.all(pieces.map((piece) => piece.making.follow()));
  return () => pieces.forEach((piece) => piece.making.leave());
};
