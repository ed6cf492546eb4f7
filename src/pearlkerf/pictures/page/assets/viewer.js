// The page as a whole: what is shown, what is running, and what hands and keys do.

import { VIEWS } from "./camera.js";
import { find } from "./elements.js";
import { Hands, Keys } from "./hands.js";
import { Listing } from "./listing.js";
import { Picture } from "./picture.js";
import { Readout } from "./readout.js";
import { Strip } from "./strip.js";
import { TimeLine } from "./timeline.js";
import { RAPID } from "./track.js";
import { makeWoods } from "./woods.js";

const EDGE_CLOSE_MM = 90; // how much of a board a section or a slender strip shows at first
const FINDING_CLOSE_MM = 60;
const MOMENT_S = 1e-6; // times nearer to each other are the same
const SLENDER = 20; // a strip so many times as long as it is wide is shown close up
const CALM_MS = 400; // between pictures while running, where less motion is asked for

export class Viewer {
  constructor(run, tracks) {
    this.run = run;
    this.unit = run.unit;
    this.tracks = tracks;
    this.cutters = new Map(run.cutters.map((cutter) => [cutter.number, cutter]));
    this.woods = makeWoods(run, tracks, (track, row) => this.cutterOf(track, row));
    this.picture = new Picture(find("canvases"));
    this.timeLine = new TimeLine(find("cut-marks"), find("time"));
    this.listing = new Listing(find("listing"), find("spacer"), (line) => this.goToLine(line));
    this.calm = window.matchMedia("(prefers-reduced-motion: reduce)");
    this.running = false;
    this.time = 0;
    this.readout = new Readout(this);
    this.strip = new Strip(find("strip"), this);
    this.addPrograms();
    this.listen();
  }

  cutterOf(track, row) {
    return this.cutters.get(track.cutterAt(row)) || this.saidCutter || null;
  }

  addPrograms() {
    this.tracks.forEach((track, number) => {
      const button = document.createElement("button");
      button.type = "button";
      const says = document.createElement("span");
      says.textContent = track.says || "program";
      const file = document.createElement("small");
      file.textContent = track.file || `program ${number + 1}`;
      button.append(says, file);
      button.addEventListener("click", () => this.open(number));
      find("programs").append(button);
    });
    find("programs").hidden = this.tracks.length < 2;
  }

  open(number, time = 0) {
    this.hold();
    this.number = number;
    this.track = this.tracks[number];
    this.wood = this.woods.get(this.track);
    [...find("programs").children].forEach((button, each) => button.setAttribute("aria-pressed", String(each === number)));
    const faults = new Set(this.run.findings.filter((each) => each.program === number && each.line).map((each) => each.line));
    const slender = this.wood.wide > SLENDER * this.wood.tall;
    const changed = this.picture.wood !== this.wood;
    this.picture.takeWood(this.wood);
    this.picture.resize();
    if (changed && slender) this.picture.setView("free");
    find("program-name").textContent = this.track.file;
    find("notice").hidden = this.track.count > 0;
    find("notice").textContent = this.track.count ? "" : "This program has no motion that could be read; its text is beside the picture.";
    find("diameter-field").hidden = !this.track.sections.every(([, cutter]) => !this.cutters.has(cutter));
    this.listing.take(this.track, faults);
    this.timeLine.take(this.track);
    this.fillCuts();
    this.showAt(time);
    this.sayView();
  }

  fillCuts() {
    const names = this.track.cuts.map((cut, number) => new Option(cut.name, String(number)));
    find("cut").replaceChildren(new Option("between cuts", "-1"), ...names);
  }

  get now() {
    const { row, part } = this.track.count ? this.here() : { row: 0, part: 0 };
    const tip = this.track.count ? this.track.point(row, part) : [NaN, NaN, NaN];
    return { track: this.track, row, part, tip, cutter: this.cutterOf(this.track, row), running: this.running };
  }

  showAt(time) {
    this.time = Math.min(this.track.total, Math.max(0, time));
    if (!this.asked) {
      this.asked = true;
      requestAnimationFrame(() => this.frame());
    }
  }

  redraw() {
    this.showAt(this.time);
  }

  frame() {
    this.asked = false;
    const begun = performance.now();
    if (this.running) this.advance(begun);
    const now = this.now;
    if (this.track.count) this.wood.cutTo(this.track, now.row, now.part, now.tip);
    this.picture.draw(now);
    this.strip.draw(now);
    this.readout.tell(now);
    document.documentElement.dataset.frame = (performance.now() - begun).toFixed(1);
    if (this.running) this.showAt(this.time);
    else this.settleSoon();
  }

  settleSoon() {
    clearTimeout(this.settling);
    this.settling = setTimeout(() => {
      if (this.running) return;
      if (this.picture.unsettled) this.redraw();
      else this.picture.settle();
    }, 180);
  }

  advance(at) {
    if (this.calm.matches && at - this.lastAt < CALM_MS) return;
    const passed = Math.min(this.calm.matches ? 1 : 0.1, (at - this.lastAt) / 1000);
    this.lastAt = at;
    this.time = Math.min(this.track.total, this.time + passed * Number(find("speed").value));
    if (this.time >= this.track.total) this.hold();
  }

  start() {
    if (!this.track.count) return;
    if (this.time >= this.track.total - MOMENT_S) this.time = 0;
    this.running = true;
    this.lastAt = performance.now();
    find("run-button").textContent = "Pause";
    this.redraw();
  }

  hold() {
    this.running = false;
    find("run-button").textContent = "Watch";
  }

  toggle() {
    if (this.running) this.hold();
    else this.start();
    this.redraw();
  }

  // Stands at the end of a motion, so that what the readout says is what the line says.
  goToMotion(row) {
    this.hold();
    if (!this.track.count) return;
    const at = Math.min(this.track.count - 1, Math.max(0, row));
    this.showAt(this.track.done(at));
    this.exact = at;
    this.readout.speak();
  }

  goToLine(line) {
    this.hold();
    if (this.track.count) this.goToMotion(this.track.motionOfLine(line));
    this.chosenLine = line;
    this.redraw();
  }

  step(by) {
    const { row, part } = this.here();
    this.goToMotion(by > 0 ? (part >= 1 ? row + 1 : row) : row - 1);
    this.chosenLine = null;
  }

  here() {
    if (this.exact !== null && this.exact !== undefined && Math.abs(this.time - this.track.done(this.exact)) < MOMENT_S) {
      return { row: this.exact, part: 1 };
    }
    return this.track.at(this.time);
  }

  stepCut(by) {
    const { row } = this.here();
    const { cuts } = this.track;
    if (!cuts.length) return;
    let number = cuts.findIndex((cut) => cut.last >= row);
    if (number < 0) number = by > 0 ? cuts.length - 1 : cuts.length;
    else if (by > 0 && row >= cuts[number].first) number += 1;
    this.goToCut(Math.min(cuts.length - 1, Math.max(0, by > 0 ? number : number - 1)));
  }

  goToCut(number) {
    const cut = this.track.cuts[number];
    if (cut) this.goToMotion(this.firstFeed(cut));
  }

  firstFeed(cut) {
    let row = cut.first;
    while (row < cut.last && this.track.kind(row) === RAPID) row += 1;
    return row;
  }

  // The cut of a feature may be in another program of the same setup.
  goToFeature(feature) {
    const order = [this.track, ...this.tracks.filter((track) => track.setup === this.track.setup && track !== this.track)];
    for (const track of order) {
      const number = track.cuts.findIndex((cut) => cut.feature === feature);
      if (number < 0) continue;
      if (track !== this.track) this.open(this.tracks.indexOf(track));
      this.goToCut(number);
      return;
    }
  }

  goToFinding(number) {
    const finding = this.run.findings[number];
    const program = finding.program >= 0 ? finding.program : this.number || 0;
    if (program !== this.number) this.open(program);
    if (!finding.line) return;
    this.goToLine(finding.line);
    const { tip } = this.now;
    const deep = this.run.findings.some((each) => each.deep && each.program === finding.program && each.line === finding.line);
    this.picture.setView(deep ? "end" : "plan");
    this.picture.closeOn(tip, FINDING_CLOSE_MM);
    this.sayView();
    this.redraw();
  }

  sayView() {
    document.querySelectorAll("[data-view]").forEach((button) => {
      if (button.tagName === "BUTTON") button.setAttribute("aria-pressed", String(button.dataset.view === this.picture.kind));
    });
    find("view-caption").textContent = VIEWS[this.picture.kind];
    find("follow").setAttribute("aria-pressed", String(this.picture.follow));
    find("shows").value = this.picture.shows;
  }

  setView(kind) {
    const fresh = !this.picture.cameras[kind];
    this.picture.setView(kind);
    if (fresh && (kind === "edge" || (kind === "plan" && this.wood.wide > SLENDER * this.wood.tall))) {
      const { tip } = this.now;
      const middle = [this.wood.x0 + this.wood.wide / 2, this.wood.y0 + this.wood.tall / 2, 0];
      this.picture.closeOn(tip.map((value, axis) => (Number.isNaN(value) || axis === 2 ? middle[axis] : value)), EDGE_CLOSE_MM);
    }
    this.sayView();
    this.redraw();
  }

  listen() {
    const on = (id, does) => find(id).addEventListener("click", does);
    on("run-button", () => this.toggle());
    on("block-back", () => this.step(-1));
    on("block-on", () => this.step(1));
    on("cut-back", () => this.stepCut(-1));
    on("cut-on", () => this.stepCut(1));
    on("closer", () => this.come(1.5));
    on("farther", () => this.come(1 / 1.5));
    on("whole", () => this.showWhole());
    on("follow", () => this.toggleFollow());
    on("cut-marks", (event) => this.jump(this.timeLine.time(event.offsetX)));
    document.querySelectorAll("button[data-view]").forEach((button) => button.addEventListener("click", () => this.setView(button.dataset.view)));
    document.querySelectorAll("[data-finding]").forEach((button) => button.addEventListener("click", () => this.fromSheet(() => this.goToFinding(Number(button.dataset.finding)))));
    document.querySelectorAll("[data-cut]").forEach((button) => button.addEventListener("click", () => this.fromSheet(() => this.fromTable(button))));
    find("shows").addEventListener("change", (event) => this.show(event.target.value));
    find("cut").addEventListener("change", (event) => this.goToCut(Number(event.target.value)));
    find("time").addEventListener("input", (event) => this.jump(Number(event.target.value)));
    find("diameter").addEventListener("change", (event) => this.takeDiameter(event.target));
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.freshInk());
    window.addEventListener("beforeprint", () => this.beforePrint());
    window.addEventListener("afterprint", () => this.afterPrint());
    new ResizeObserver(() => this.onResize()).observe(find("canvases"));
    new Hands(find("canvases"), this);
    new Keys(this);
  }

  // A link in the sheets below leads up to the picture.
  fromSheet(goes) {
    goes();
    find("bench").scrollIntoView({ behavior: this.calm.matches ? "auto" : "smooth" });
  }

  fromTable(button) {
    const program = Number(button.dataset.program);
    if (program !== this.number) this.open(program);
    this.goToCut(Number(button.dataset.cut));
  }

  jump(time) {
    this.hold();
    this.showAt(time);
  }

  come(factor) {
    this.picture.zoom(factor);
    this.redraw();
  }

  showWhole() {
    this.picture.follow = false;
    this.picture.camera; // makes one if there is none
    this.picture.whole();
    this.sayView();
    this.redraw();
  }

  toggleFollow() {
    this.picture.follow = !this.picture.follow;
    if (this.picture.follow) this.picture.closeOn(this.now.tip, EDGE_CLOSE_MM);
    this.sayView();
    this.redraw();
  }

  show(what) {
    this.picture.shows = what;
    this.picture.stale = true;
    this.sayView();
    this.redraw();
  }

  takeDiameter(field) {
    const diameter = Number(field.value) * this.unit.mm;
    if (!field.value || !field.checkValidity()) return;
    this.saidCutter = { number: -1, kind: "end mill", diameter, point: 0 };
    this.wood.restart();
    this.picture.stale = true;
    this.redraw();
  }

  freshInk() {
    this.picture.takeInk();
    this.timeLine.draw();
    this.redraw();
  }

  onResize() {
    this.picture.resize();
    this.timeLine.draw();
    this.redraw();
  }

  // The sheet of paper shows the board in the strip as the program leaves it, in ink and without a cutter.
  beforePrint() {
    this.hold();
    this.kept = { kind: this.picture.kind, time: this.time, shows: this.picture.shows };
    this.picture.setView("plan");
    this.picture.shows = "none";
    this.time = this.track.total;
    this.picture.takeInk(true);
    this.frame();
  }

  afterPrint() {
    if (!this.kept) return;
    this.picture.setView(this.kept.kind);
    this.picture.shows = this.kept.shows;
    this.time = this.kept.time;
    this.freshInk();
  }

}
