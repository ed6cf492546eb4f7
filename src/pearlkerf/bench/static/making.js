// Something that is made: begun, followed, stopped, and what became of it.

import { ask, CannotBe, tell } from "./asking.js";
import { make, mark, say } from "./elements.js";
import { problem } from "./parts.js";

const ASK_EVERY_MS = 250;
const FOLDERS = { cut: "job", pieces: "pieces", coupon: "coupon", inlay: "inlay-coupon", calibration: "calibration", strip: "strip", nest: "nest" };
const CALLED = { cut: "Make the programs", nest: "Look for a closer packing" };

export class Making {
  constructor(name, kind, order, held) {
    this.folder = `${name}-${FOLDERS[kind]}`;
    this.address = `/api/job/${encodeURIComponent(name)}/${kind}`;
    this.order = order; // gives it, or a promise of it
    this.held = held;
    this.button = make("button", { type: "button", class: "main", onclick: () => this.begin() }, CALLED[kind] ?? "Make it");
    this.stop = make("button", { type: "button", hidden: true, onclick: () => tell("/api/stop", { folder: this.folder }) }, "Stop");
    this.progress = make("ol", { class: "progress" });
    const heard = make("div", { role: "status", "aria-label": "What is being done" }, this.progress);
    this.became = make("div", { class: "tolds", role: "status" });
    this.element = make("div", { class: "making" }, make("p", { class: "buttons" }, this.button, this.stop), heard, this.became);
    this.allowed = true;
  }

  may(allowed) {
    this.allowed = allowed;
    this.button.disabled = !allowed || !this.stop.hidden;
  }

  leave() {
    clearTimeout(this.follower);
  }

  async begin(force = false) {
    this.became.replaceChildren();
    try {
      await tell("/api/make", { ...(await this.order()), force });
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.became.replaceChildren(problem({ found: fault.message }));
    }
    await this.follow();
  }

  // Ask how it goes until it has ended.
  async follow() {
    clearTimeout(this.follower);
    let state;
    try {
      state = await ask(`/api/making/${encodeURIComponent(this.folder)}`);
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.became.replaceChildren(problem({ found: fault.message }));
      return;
    }
    const running = state.state === "running";
    this.stop.hidden = !running;
    this.may(this.allowed);
    this.progress.replaceChildren(...(state.doing ?? []).map((doing, index, all) => make("li", { class: running && index === all.length - 1 ? "now" : "" }, doing)));
    if (running) {
      this.follower = setTimeout(() => this.follow(), ASK_EVERY_MS);
      return;
    }
    if (state.state !== "none") this.ended(state);
    const held = await ask(this.address);
    if (held.unfinished) this.became.append(problem({ found: `${held.folder} is unfinished: use no program there; make it again, which puts it right` }));
    this.held(held, state);
  }

  ended(state) {
    const all = (list) => this.became.replaceChildren(...list);
    if (state.state === "stopped") all([make("p", {}, "Stopped. Its folder holds what it held before.")]);
    else if (state.refused) all(state.refused.map(problem));
    else if (state.not_proved) all([make("p", { class: "wrong" }, "Not proved: nothing was saved."), ...state.not_proved.map((each) => problem({ key: each.file, found: each.message }))]);
    else if (state.in_the_way) {
      const over = make("button", { type: "button", onclick: () => this.begin(true) }, "Write over them");
      all([problem({ found: `${state.in_the_way.join(", ")} would be overwritten; no earlier job made them as they are` }), make("p", { class: "buttons" }, over)]);
    } else if (state.fault) all([problem({ found: state.fault })]);
    else if (state.proposed) this.became.replaceChildren();
    else if (state.done) {
      all([make("p", { class: "right proved" }, mark("right"), "Proved, from the programs as they are read back."), ...state.done.notes.map((note) => make("p", {}, note))]);
      say("it is made and proved");
    }
  }
}
