// The page as a whole: what is shown, what is running, and what hands and keys do.

const find = (id) => document.getElementById(id);
const EDGE_CLOSE_MM = 90; // how much of a board a section or a slender strip shows at first
const FINDING_CLOSE_MM = 60;
const SLENDER = 20; // a strip so many times as long as it is wide is shown close up
const CALM_MS = 400; // between pictures while running, where less motion is asked for
const TURN_STEP = 14; // pixels of dragging that one arrow key stands for
const SHOWN = ["cut", "all", "none"];

class Viewer {
  constructor(run, tracks) {
    this.run = run;
    this.tracks = tracks;
    this.cutters = new Map(run.cutters.map((cutter) => [cutter.number, cutter]));
    this.woods = this.makeWoods();
    this.picture = new Picture(find("canvases"));
    this.timeLine = new TimeLine(find("cut-marks"), find("time"));
    this.listing = new Listing(find("listing"), find("spacer"), (line) => this.goToLine(line));
    this.calm = window.matchMedia("(prefers-reduced-motion: reduce)");
    this.running = false;
    this.time = 0;
    this.strip2d = find("strip").getContext("2d");
    this.addPrograms();
    this.listen();
  }

  // One wood for each setup, cut by all its programs in order; a program without a setup has a block of its own.
  makeWoods() {
    const woods = new Map();
    const cutterOf = (track, row) => this.cutterOf(track, row);
    this.run.setups.forEach((setup, number) => {
      const wood = new Wood(setup);
      const own = this.tracks.filter((track) => track.setup === number && track.count);
      wood.takeTracks(own, cutterOf);
      own.forEach((track) => woods.set(track, wood));
    });
    for (const track of this.tracks) {
      if (woods.has(track)) continue;
      const wood = new Wood(track.setup >= 0 ? this.run.setups[track.setup] : blockUnder(track));
      wood.takeTracks([track], cutterOf);
      woods.set(track, wood);
    }
    return woods;
  }

  cutterOf(track, row) {
    return this.cutters.get(track.cutterAt(row)) || this.saidCutter || null;
  }

  addPrograms() {
    this.tracks.forEach((track, number) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = track.file || `program ${number + 1}`;
      button.addEventListener("click", () => this.open(number));
      find("programs").append(button);
    });
    find("programs").hidden = this.tracks.length < 2;
  }

  open(number, time = null) {
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
    if (changed && slender) this.picture.setView("turning");
    find("program-name").textContent = this.track.file;
    find("notice").hidden = this.track.count > 0;
    find("notice").textContent = this.track.count ? "" : "This program has no motion that could be read; its text is beside the picture.";
    find("diameter-field").hidden = !this.track.sections.every(([, cutter]) => !this.cutters.has(cutter));
    this.listing.take(this.track, faults);
    this.timeLine.take(this.track);
    this.fillCuts();
    this.showAt(time === null ? this.track.total : time);
    this.sayView();
  }

  fillCuts() {
    const names = this.track.cuts.map((cut, number) => new Option(cut.name, String(number)));
    find("cut").replaceChildren(new Option("between cuts", "-1"), ...names);
  }

  // --- a moment -----------------------------------------------------------------------------------

  get now() {
    const { row, part } = this.track.count ? this.track.at(this.time) : { row: 0, part: 0 };
    const tip = this.track.count ? this.track.point(row, part) : [NaN, NaN, NaN];
    return { track: this.track, row, part, tip, cutter: this.cutterOf(this.track, row), running: this.running };
  }

  showAt(time) {
    this.time = Math.min(this.track.total, Math.max(0, time));
    this.wanted = true;
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
    this.drawStrip(now);
    this.tell(now);
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
    if (this.time >= this.track.total - 1e-6) this.time = 0;
    this.running = true;
    this.lastAt = performance.now();
    find("run-button").textContent = "Hold";
    this.redraw();
  }

  hold() {
    this.running = false;
    find("run-button").textContent = "Run";
  }

  toggle() {
    if (this.running) this.hold();
    else this.start();
    this.redraw();
  }

  // --- where to go -----------------------------------------------------------------------------

  // Stands at the end of a motion, so that what the readout says is what the line says.
  goToMotion(row) {
    this.hold();
    if (!this.track.count) return;
    const at = Math.min(this.track.count - 1, Math.max(0, row));
    this.showAt(this.track.done(at));
    this.exact = at;
    this.speak();
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
    if (this.exact !== null && this.exact !== undefined && Math.abs(this.time - this.track.done(this.exact)) < 1e-9) {
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
    this.picture.setView("plan");
    this.picture.closeOn(tip, FINDING_CLOSE_MM);
    this.sayView();
    this.redraw();
  }

  // --- what is told ---------------------------------------------------------------------------

  tell(now) {
    const { track } = this;
    const line = this.chosenLine && this.time === this.chosenTime(this.chosenLine) ? this.chosenLine : track.count ? track.line[this.here().row] : 1;
    const row = track.count ? this.here().row : 0;
    const [x, y, z] = now.tip;
    const inTwo = (value) => (Number.isNaN(value) || value === undefined ? "not known" : value.toFixed(3).replace(/^-(0\.0+)$/, "$1"));
    const put = (id, text) => {
      const cell = find(id);
      if (cell.textContent !== text) cell.textContent = text;
    };
    const cut = track.cuts[track.count ? track.cut_of[row] : -1];
    const kind = track.count ? ["Rapid", "Feed", "Arc feed"][track.kind(row)] : "No motion";
    put("now", cut ? `${kind}, ${cut.name}` : kind);
    put("at-x", inTwo(x));
    put("at-y", inTwo(y));
    put("at-z", inTwo(z));
    put("depth-name", z > 0 ? "Above zero" : "Below zero");
    put("depth", Number.isNaN(z) ? "not known" : `${inTwo(Math.abs(z))} mm`);
    put("feed", !track.count || track.kind(row) === RAPID ? "rapid" : track.feed[row] > 0 ? `${Math.round(track.feed[row])} mm/min` : "none set");
    put("spindle", !track.count ? "" : track.spindle(row) ? `${track.speed[row]} rpm` : "not by program");
    put("cutter", this.cutterWords(now));
    put("elapsed", clock(this.time));
    put("remaining", clock(track.total - this.time));
    put("place", `Line ${line} of ${track.lines.length}`);
    this.listing.mark(line);
    const slider = find("time");
    slider.value = String(this.time);
    slider.setAttribute("aria-valuetext", `${clock(this.time)} of ${clock(track.total)}${cut ? `, ${cut.name}` : ""}`);
    find("cut").value = String(track.count ? track.cut_of[row] : -1);
  }

  chosenTime(line) {
    return this.track.count ? this.track.done(Math.max(0, this.track.motionOfLine(line))) : this.time;
  }

  cutterWords(now) {
    const number = this.track.count ? this.track.cutterAt(now.row) : -1;
    if (now.cutter) return `${number >= 0 ? `${number}, ` : ""}${now.cutter.kind} ${now.cutter.diameter.toFixed(2)} mm`;
    return number >= 0 ? `${number}, size not known` : "not known";
  }

  speak() {
    const { row } = this.here();
    const [x, y, z] = this.track.point(row, 1);
    const cut = this.track.cuts[this.track.cut_of[row]];
    find("spoken").textContent = `Line ${this.track.line[row]}: ${["rapid", "feed", "arc feed"][this.track.kind(row)]} to X ${x.toFixed(3)}, Y ${y.toFixed(3)}, Z ${z.toFixed(3)}${cut ? `, ${cut.name}` : ""}`;
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

  // --- the strip: always the whole board ---------------------------------------------------------

  drawStrip(now) {
    const canvas = find("strip");
    const { wood } = this;
    const width = canvas.parentElement.clientWidth;
    if (!width) return;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    const side = 14;
    const scale = Math.min((width - 2 * side) / wood.wide, 130 / wood.tall);
    const height = Math.max(18, wood.tall * scale) + 34;
    if (canvas.width !== Math.round(width * ratio) || canvas.height !== Math.round(height * ratio)) {
      canvas.width = Math.round(width * ratio);
      canvas.height = Math.round(height * ratio);
      canvas.style.height = `${height}px`;
    }
    const ctx = this.strip2d;
    const left = (width - wood.wide * scale) / 2;
    this.strip = { left, scale, middle: height / 2, y0: wood.y0 + wood.tall / 2 };
    ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
    ctx.clearRect(0, 0, width, height);
    ctx.imageSmoothingQuality = "medium";
    const [wide, tall] = [wood.nx * wood.cell * scale, wood.ny * wood.cell * scale];
    ctx.drawImage(this.picture.bitmap.canvas, left, height / 2 + (wood.tall * scale) / 2 - tall, wide, tall);
    this.drawStripMarks(ctx, now, height);
  }

  drawStripMarks(ctx, now, height) {
    const { left, scale, middle, y0 } = this.strip;
    const { ink } = this.picture;
    const { wood } = this;
    const current = now.track.cuts[now.track.count ? now.track.cut_of[now.row] : -1];
    ctx.font = "11px system-ui, sans-serif";
    ctx.textAlign = "center";
    ctx.textBaseline = "middle";
    const last = {};
    wood.setup.features.forEach((feature, number) => {
      const frets = feature.group === "frets";
      const x = left + ((feature.from[0] + feature.to[0]) / 2 - wood.x0) * scale;
      if (last[frets] !== undefined && Math.abs(x - last[frets]) < 13) return;
      last[frets] = x;
      ctx.fillStyle = current && current.feature === number ? ink.feed : ink["bench-ink"];
      ctx.fillText(String(feature.number), x, frets ? height - 8 : 8);
    });
    if (Number.isNaN(now.tip[0] + now.tip[1])) return;
    const at = [left + (now.tip[0] - wood.x0) * scale, middle - (now.tip[1] - y0) * scale];
    for (const [colour, width] of [[ink.casing, 4], [ink.mark, 2]]) {
      ctx.strokeStyle = colour;
      ctx.lineWidth = width;
      ctx.beginPath();
      ctx.arc(at[0], at[1], 5, 0, 7);
      ctx.stroke();
    }
  }

  onStrip(event) {
    const bounds = find("strip").getBoundingClientRect();
    const { left, scale, middle, y0 } = this.strip;
    const x = this.wood.x0 + (event.clientX - bounds.left - left) / scale;
    const y = y0 - (event.clientY - bounds.top - middle) / scale;
    let [best, found] = [14 / scale, -1];
    this.wood.setup.features.forEach((feature, number) => {
      const away = fromStretch(x, y, ...feature.from, ...feature.to) - feature.wide / 2;
      if (away < best) [best, found] = [away, number];
    });
    if (found >= 0) this.goToFeature(found);
  }

  // --- hands and keys --------------------------------------------------------------------------

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
    on("strip", (event) => this.onStrip(event));
    on("cut-marks", (event) => this.jump(this.timeLine.time(event.offsetX)));
    document.querySelectorAll("button[data-view]").forEach((button) => button.addEventListener("click", () => this.setView(button.dataset.view)));
    document.querySelectorAll("[data-finding]").forEach((button) => button.addEventListener("click", () => this.fromSheet(() => this.goToFinding(Number(button.dataset.finding)))));
    document.querySelectorAll("[data-cut]").forEach((button) => button.addEventListener("click", () => this.fromSheet(() => this.fromTable(button))));
    find("shows").addEventListener("change", (event) => this.show(event.target.value));
    find("cut").addEventListener("change", (event) => this.goToCut(Number(event.target.value)));
    find("time").addEventListener("input", (event) => this.jump(Number(event.target.value)));
    find("diameter").addEventListener("change", (event) => this.takeDiameter(event.target));
    document.addEventListener("keydown", (event) => this.onKey(event));
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.freshInk());
    window.addEventListener("beforeprint", () => this.beforePrint());
    window.addEventListener("afterprint", () => this.afterPrint());
    new ResizeObserver(() => this.onResize()).observe(find("canvases"));
    new Hands(find("canvases"), this);
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
    const diameter = Number(field.value);
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

  // The sheet of paper shows the finished board in plan, in ink.
  beforePrint() {
    this.hold();
    this.kept = { kind: this.picture.kind, time: this.time, shows: this.picture.shows };
    this.picture.setView("plan");
    this.picture.shows = "none";
    this.time = this.track.total;
    this.picture.takeInk();
    this.frame();
  }

  afterPrint() {
    if (!this.kept) return;
    this.picture.setView(this.kept.kind);
    this.picture.shows = this.kept.shows;
    this.time = this.kept.time;
    this.freshInk();
  }

  onKey(event) {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    const inPicture = event.target === find("canvases");
    if (inPicture && this.onPictureKey(event)) return;
    const tag = event.target.tagName;
    const onSlider = event.target === find("time");
    if (tag === "SELECT" || tag === "TEXTAREA" || (tag === "INPUT" && !onSlider)) return;
    if (!onSlider && !inPicture && !find("single-keys").checked) return;
    if (event.key === " " && (tag === "BUTTON" || tag === "A")) return;
    const does = this.keyDoes(event);
    if (!does) return;
    event.preventDefault();
    does();
  }

  keyDoes(event) {
    const { key, shiftKey } = event;
    const views = Object.keys(VIEWS);
    if (key >= "1" && key <= "4") return () => this.setView(views[Number(key) - 1]);
    return {
      " ": () => this.toggle(),
      ArrowLeft: () => (shiftKey ? this.stepCut(-1) : this.step(-1)),
      ArrowRight: () => (shiftKey ? this.stepCut(1) : this.step(1)),
      Home: () => this.jump(0),
      End: () => this.jump(this.track.total),
      "+": () => this.come(1.5),
      "=": () => this.come(1.5),
      "-": () => this.come(1 / 1.5),
      0: () => this.showWhole(),
      f: () => this.toggleFollow(),
      F: () => this.toggleFollow(),
      l: () => this.show(SHOWN[(SHOWN.indexOf(this.picture.shows) + 1) % SHOWN.length]),
      L: () => this.show(SHOWN[(SHOWN.indexOf(this.picture.shows) + 1) % SHOWN.length]),
    }[key];
  }

  onPictureKey(event) {
    const by = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!by || event.shiftKey) return false;
    event.preventDefault();
    this.picture.drag(by[0] * TURN_STEP, by[1] * TURN_STEP, false);
    this.redraw();
    return true;
  }
}

// Mouse and touch on the picture: one hand turns or moves, two come closer, a tap goes to what lies there.
class Hands {
  constructor(box, viewer) {
    Object.assign(this, { box, viewer });
    this.down = new Map();
    box.addEventListener("pointerdown", (event) => this.onDown(event));
    box.addEventListener("pointermove", (event) => this.onMove(event));
    box.addEventListener("pointerup", (event) => this.onUp(event));
    box.addEventListener("pointercancel", (event) => this.down.delete(event.pointerId));
    box.addEventListener("wheel", (event) => this.onWheel(event), { passive: false });
    box.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  onDown(event) {
    this.box.focus({ preventScroll: true });
    this.box.setPointerCapture(event.pointerId);
    this.down.set(event.pointerId, [event.clientX, event.clientY]);
    this.moved = this.down.size > 1 ? Infinity : 0;
  }

  onMove(event) {
    const last = this.down.get(event.pointerId);
    if (!last) return;
    const [dx, dy] = [event.clientX - last[0], event.clientY - last[1]];
    const before = this.spread();
    this.down.set(event.pointerId, [event.clientX, event.clientY]);
    this.moved += Math.abs(dx) + Math.abs(dy);
    if (this.moved < 5) return;
    const { picture } = this.viewer;
    if (this.down.size > 1) {
      const { left, top } = this.box.getBoundingClientRect();
      const after = this.spread();
      if (before.apart > 0) picture.zoom(after.apart / before.apart, after.x - left, after.y - top);
      picture.drag(after.x - before.x, after.y - before.y, true);
    } else {
      picture.drag(dx, dy, event.shiftKey || event.buttons > 1);
    }
    this.viewer.redraw();
  }

  onUp(event) {
    if (!this.down.delete(event.pointerId) || this.moved >= 5) return;
    const { left, top } = this.box.getBoundingClientRect();
    const found = this.viewer.picture.pick(this.viewer.now, event.clientX - left, event.clientY - top);
    if (!found) return;
    if (found.feature !== undefined) this.viewer.goToFeature(found.feature);
    else this.viewer.goToMotion(found.row);
  }

  // The wheel scrolls the page until the picture is taken hold of, by a click or by the Tab key.
  onWheel(event) {
    if (document.activeElement !== this.box && !event.ctrlKey) return;
    event.preventDefault();
    const { left, top } = this.box.getBoundingClientRect();
    this.viewer.picture.zoom(Math.exp(-event.deltaY * 0.0016), event.clientX - left, event.clientY - top);
    this.viewer.redraw();
  }

  spread() {
    const places = [...this.down.values()];
    const x = places.reduce((sum, place) => sum + place[0], 0) / places.length;
    const y = places.reduce((sum, place) => sum + place[1], 0) / places.length;
    return { x, y, apart: places.length > 1 ? Math.hypot(places[0][0] - places[1][0], places[0][1] - places[1][1]) : 0 };
  }
}

const emptyTrack = (program, lines) =>
  new Track({ ...program, begin: [null, null, null], known: [0, 0, 0], events: [], sections: [] }, { count: 0, starts: [0], line: [], flags: [] }, lines);

const openPage = async () => {
  const run = JSON.parse(find("run").textContent);
  const tracks = [];
  for (const program of run.programs) {
    const lines = await unpackText(program);
    tracks.push(program.rows ? new Track(program, await unpackMotions(program), lines) : emptyTrack(program, lines));
  }
  const viewer = new Viewer(run, tracks);
  const failing = run.findings.findIndex((each) => each.program >= 0 && each.line);
  if (!run.setups.length) viewer.picture.shows = "all";
  if (failing >= 0) {
    viewer.open(run.findings[failing].program, 0);
    viewer.goToFinding(failing);
  } else {
    viewer.open(0);
  }
  document.documentElement.dataset.ready = performance.now().toFixed(0);
};

openPage().catch((fault) => {
  find("notice").hidden = false;
  find("notice").textContent = `The picture cannot be drawn in this browser (${fault.message}). The words below tell the same.`;
  throw fault;
});
