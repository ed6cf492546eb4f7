// What the page says of the moment that it shows: in figures, in the listing, on the time line, and aloud.

import { find } from "./elements.js";
import { clock } from "./timeline.js";
import { RAPID } from "./track.js";

// Lengths are mm inside; people are told them in the page's unit, { name, mm: of one of it, decimals }.
const inUnit = (value, unit) => (value / unit.mm).toFixed(unit.decimals).replace(/^-(0\.0+)$/, "$1");
const feedWords = (feed, unit) => `${(feed / unit.mm).toFixed(unit.mm > 1 ? 1 : 0)} ${unit.name}/min`;
const sizeWords = (diameter, unit) => `${(diameter / unit.mm).toFixed(unit.decimals)} ${unit.name}`;

export class Readout {
  constructor(viewer) {
    this.viewer = viewer;
  }

  tell(now) {
    const { track } = this.viewer;
    const line = this.viewer.chosenLine && this.viewer.time === this.chosenTime(this.viewer.chosenLine) ? this.viewer.chosenLine : track.count ? track.line[this.viewer.here().row] : 1;
    const row = track.count ? this.viewer.here().row : 0;
    const [x, y, z] = now.tip;
    const figure = (value) => (Number.isNaN(value) || value === undefined ? "not known" : inUnit(value, this.viewer.unit));
    const put = (id, text) => {
      const cell = find(id);
      if (cell.textContent !== text) cell.textContent = text;
    };
    const cut = track.cuts[track.count ? track.cut_of[row] : -1];
    const kind = track.count ? ["Rapid", "Feed", "Arc feed"][track.kind(row)] : "No motion";
    put("now", cut ? `${kind}, ${cut.name}` : kind);
    put("at-x", figure(x));
    put("at-y", figure(y));
    put("at-z", figure(z));
    put("depth-name", z > 0 ? "Above zero" : "Below zero");
    put("depth", Number.isNaN(z) ? "not known" : `${figure(Math.abs(z))} ${this.viewer.unit.name}`);
    put("feed", !track.count || track.kind(row) === RAPID ? "rapid" : track.feed[row] > 0 ? feedWords(track.feed[row], this.viewer.unit) : "none set");
    put("spindle", !track.count ? "" : track.spindle(row) ? `${track.speed[row]} rpm` : "not by program");
    put("cutter", this.cutterWords(now));
    put("elapsed", clock(this.viewer.time));
    put("remaining", clock(track.total - this.viewer.time));
    put("place", `Line ${line} of ${track.lines.length}`);
    this.viewer.listing.mark(line);
    const slider = find("time");
    slider.value = String(this.viewer.time);
    slider.setAttribute("aria-valuetext", `${clock(this.viewer.time)} of ${clock(track.total)}${cut ? `, ${cut.name}` : ""}`);
    find("cut").value = String(track.count ? track.cut_of[row] : -1);
  }

  chosenTime(line) {
    return this.viewer.track.count ? this.viewer.track.done(Math.max(0, this.viewer.track.motionOfLine(line))) : this.viewer.time;
  }

  cutterWords(now) {
    const number = this.viewer.track.count ? this.viewer.track.cutterAt(now.row) : -1;
    if (now.cutter) return `${number >= 0 ? `${number}, ` : ""}${now.cutter.kind} ${sizeWords(now.cutter.diameter, this.viewer.unit)}`;
    return number >= 0 ? `${number}, size not known` : "not known";
  }

  speak() {
    const { row } = this.viewer.here();
    const [x, y, z] = this.viewer.track.point(row, 1).map((value) => inUnit(value, this.viewer.unit));
    const cut = this.viewer.track.cuts[this.viewer.track.cut_of[row]];
    find("spoken").textContent = `Line ${this.viewer.track.line[row]}: ${["rapid", "feed", "arc feed"][this.viewer.track.kind(row)]} to X ${x}, Y ${y}, Z ${z}${cut ? `, ${cut.name}` : ""}`;
  }
}
