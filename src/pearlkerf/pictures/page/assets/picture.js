// The picture: four layers, each drawn only when what it shows has changed.
//
//   relief  the carved board in the free view (WebGL2)
//   wood    the board in plan, and the sections; its shadow under the relief
//   lines   the tip's path
//   marks   the cutter, zero, and the numbers of frets and dots

import { Camera } from "./camera.js";
import { awayFrom, fromStretch } from "./features.js";
import { WoodBitmap } from "./grain.js";
import { takeChanged } from "./heights.js";
import { CASED, Lines, projector } from "./lines.js";
import { Marks } from "./marks.js";
import { Relief } from "./relief.js";
import { Section } from "./section.js";

const RELIEF_SHARE = 0.35; // of the time while running that the relief may take
const SLOW_MS = 70;
const COARSEST = 3;
const MARGIN = 26;
const NEAR_PIXELS = 14;

export const SHOWN = ["cut", "all", "none"]; // the lines that can be shown

export class Picture {
  constructor(box) {
    this.box = box;
    this.canvases = Object.fromEntries(["relief", "wood", "lines", "marks"].map((id) => [id, document.getElementById(id)]));
    this.relief = Relief.on(this.canvases.relief);
    this.lines = new Lines(this.canvases.lines);
    this.wood2d = this.canvases.wood.getContext("2d");
    this.marks = new Marks(this.canvases.marks, this);
    this.section = new Section(this);
    this.cameras = {};
    this.bitmaps = new Map();
    this.kind = "free";
    this.shows = "cut";
    this.follow = false;
    this.takeInk();
  }

  // Colours come from the style sheet; on paper all is black.
  takeInk(onPaper = false) {
    const style = getComputedStyle(document.documentElement);
    const names = ["feed", "rapid", "later", "casing", "mark", "zero", "bench-ink", "section", "section-edge", "shadow"];
    this.ink = Object.fromEntries(names.map((name) => [name, style.getPropertyValue(`--pic-${name}`).trim()]));
    if (onPaper) this.ink = { ...this.ink, "bench-ink": "#000", feed: "#000" };
    this.onPaper = onPaper;
    this.stale = true;
  }

  // Turns to another wood; the view starts whole.
  takeWood(wood) {
    if (this.wood === wood) return;
    this.wood = wood;
    if (!this.bitmaps.has(wood)) this.bitmaps.set(wood, new WoodBitmap(wood));
    this.bitmap = this.bitmaps.get(wood);
    this.bitmap.forPlan = this.bitmap.forPlan || this.bitmap.watchers.watch();
    if (this.relief) this.relief.take(wood, this.bitmap);
    this.cameras = {};
    this.stale = true;
  }

  get camera() {
    if (!this.cameras[this.kind]) {
      const camera = new Camera();
      camera.kind = this.kind;
      [camera.turn, camera.lift] = [this.width > 1.9 * this.height ? -0.4 : -0.9, 0.62]; // a tall picture shows it end on
      camera.resize(this.width || 100, this.height || 100);
      this.cameras[this.kind] = camera;
      this.whole();
    }
    return this.cameras[this.kind];
  }

  resize() {
    const { width, height } = this.box.getBoundingClientRect();
    if (width < 2 || height < 2) return;
    this.ratio = Math.min(2, window.devicePixelRatio || 1);
    if (Math.abs(width - this.width) < 0.5 && Math.abs(height - this.height) < 0.5 && this.ratio === this.lastRatio) return;
    this.lastRatio = this.ratio;
    [this.width, this.height] = [width, height];
    for (const canvas of [this.canvases.wood, this.canvases.marks]) {
      canvas.width = Math.round(width * this.ratio);
      canvas.height = Math.round(height * this.ratio);
    }
    this.cameras = {};
    this.stale = true;
  }

  whole() {
    const { wood } = this;
    const box = [wood.x0, wood.y0, wood.bottom, wood.x0 + wood.wide, wood.y0 + wood.tall, 0];
    this.cameras[this.kind].fit(box, MARGIN);
    this.stale = true;
  }

  setView(kind) {
    this.kind = kind;
    this.stale = true;
  }

  zoom(factor, sx = this.width / 2, sy = this.height / 2) {
    this.camera.zoom(factor, sx, sy);
    this.stale = true;
  }

  drag(dx, dy, slides) {
    const { camera } = this;
    if (camera.perspective && !slides) {
      camera.turn -= dx * 0.008;
      camera.lift = Math.min(1.5, Math.max(-0.15, camera.lift + dy * 0.008));
      camera.settle();
    } else {
      camera.slide(-dx, -dy);
    }
    this.stale = true;
  }

  // Brings a point into the middle, at least so close that so many millimetres fill the picture.
  closeOn(point, millimetres) {
    const { camera } = this;
    camera.target = point.map((value, axis) => (Number.isNaN(value) ? camera.target[axis] : value));
    if (camera.perspective) camera.target[2] = 0;
    camera.scale = Math.max(camera.scale, this.width / millimetres);
    camera.settle();
    this.stale = true;
  }

  keepInSight(tip) {
    const at = this.camera.project(...tip);
    const inside = at && at[0] > 0.2 * this.width && at[0] < 0.8 * this.width && at[1] > 0.2 * this.height && at[1] < 0.8 * this.height;
    if (!inside && !tip.some(Number.isNaN)) this.closeOn(tip, 1e9);
  }

  // Draws a moment: {track, row, part, tip, cutter, running}.
  draw(now) {
    if (!this.width) return;
    if (this.follow) this.keepInSight(now.tip);
    const { camera } = this;
    this.bitmap.refresh();
    const stale = this.stale;
    this.stale = false;
    this.box.dataset.view = camera.kind;
    this.drawWood(now, stale);
    this.drawRelief(now, stale);
    this.drawLines(now, stale);
    this.marks.draw(now);
  }

  drawWood(now, stale) {
    const ctx = this.wood2d;
    const { camera } = this;
    ctx.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    if (camera.kind === "plan") {
      const changed = takeChanged(this.bitmap.forPlan);
      if (stale || changed) this.drawPlan(ctx, stale ? null : changed);
    } else if (camera.kind === "free") {
      if (stale) this.drawBelow(ctx);
    } else {
      ctx.clearRect(0, 0, this.width, this.height);
      this.section.draw(ctx, now.tip);
    }
  }

  drawPlan(ctx, changed) {
    const { wood, camera, bitmap } = this;
    const [left, top] = camera.project(wood.x0, wood.y0 + wood.ny * wood.cell, 0);
    const [wide, tall] = [wood.nx * wood.cell * camera.scale, wood.ny * wood.cell * camera.scale];
    const pixel = wood.cell * camera.scale;
    ctx.save();
    if (changed) {
      ctx.beginPath();
      ctx.rect(left + (changed.x0 - 2) * pixel, top + (wood.ny - 3 - changed.y1) * pixel, (changed.x1 - changed.x0 + 5) * pixel, (changed.y1 - changed.y0 + 5) * pixel);
      ctx.clip();
    }
    ctx.clearRect(0, 0, this.width, this.height);
    this.tracePlanShadow(ctx);
    ctx.imageSmoothingEnabled = pixel < 3;
    ctx.imageSmoothingQuality = "medium";
    ctx.drawImage(bitmap.canvas, left, top, wide, tall);
    ctx.restore();
  }

  tracePlanShadow(ctx) {
    ctx.save();
    ctx.shadowColor = this.ink.shadow;
    ctx.shadowBlur = 14 * this.ratio;
    ctx.shadowOffsetX = 4 * this.ratio;
    ctx.shadowOffsetY = 6 * this.ratio;
    this.fillOutline(ctx, 0, this.ink.section);
    ctx.restore();
  }

  fillOutline(ctx, z, colour) {
    ctx.beginPath();
    for (const [x, y] of this.wood.setup.outline) {
      const at = this.camera.project(x, y, z);
      if (at) ctx.lineTo(...at);
    }
    ctx.closePath();
    ctx.fillStyle = colour;
    ctx.fill();
  }

  // Under the relief: the board's shadow on the bench; without WebGL2 the board as a plain block.
  drawBelow(ctx) {
    ctx.clearRect(0, 0, this.width, this.height);
    ctx.save();
    ctx.shadowColor = this.ink.shadow;
    ctx.shadowBlur = 22 * this.ratio;
    ctx.shadowOffsetY = 8 * this.ratio;
    this.fillOutline(ctx, this.wood.bottom, this.ink.section);
    ctx.restore();
    if (!this.relief || this.relief.lost) this.drawBlock(ctx);
  }

  drawBlock(ctx) {
    const { camera, wood, ink } = this;
    const { outline, features } = wood.setup;
    this.fillOutline(ctx, 0, `rgb(${this.bitmap.colour})`);
    ctx.strokeStyle = ink["section-edge"];
    ctx.lineWidth = 1;
    const line = (points) => {
      const seen = points.map((point) => camera.project(...point));
      if (seen.some((at) => !at)) return;
      ctx.beginPath();
      for (const at of seen) ctx.lineTo(...at);
      ctx.stroke();
    };
    for (const z of [0, wood.bottom]) line([...outline, outline[0]].map(([x, y]) => [x, y, z]));
    for (const [x, y] of outline) line([[x, y, 0], [x, y, wood.bottom]]);
    for (const { from, to } of features) line([[...from, 0], [...to, 0]]);
  }

  drawRelief(now, stale) {
    const { camera, relief } = this;
    const shown = camera.kind === "free" && relief && !relief.lost;
    this.canvases.relief.hidden = !shown;
    if (!shown) return;
    const changed = relief.scene.colours.x1 >= relief.scene.colours.x0;
    const rested = performance.now() - (this.reliefAt || 0) > relief.took / RELIEF_SHARE;
    if (!stale && (!changed || (now.running && !rested))) return;
    relief.draw(camera, this.ratio / relief.coarse);
    this.fine = false;
    if (relief.took > SLOW_MS && relief.coarse < COARSEST && stale) relief.coarse += 0.5;
    this.reliefAt = performance.now();
  }

  // True where the relief lags behind, or was drawn coarsely in haste.
  get unsettled() {
    const { relief } = this;
    if (this.kind !== "free" || !relief || relief.lost) return false;
    return relief.scene.colours.x1 >= relief.scene.colours.x0;
  }

  // Draws the relief finer than the screen shows, once nothing moves any more: that smooths its edges.
  settle() {
    const { relief } = this;
    if (this.kind !== "free" || !relief || relief.lost || !this.width || this.fine) return;
    relief.draw(this.camera, Math.min(3, 2 * this.ratio));
    this.fine = true;
  }

  span(now) {
    const { first, count } = now.track.pieces;
    if (this.shows === "none") return [0, 0];
    const cut = now.track.cuts[now.track.cut_of[now.row]];
    if (this.shows === "all" && (this.kind === "plan" || this.kind === "free")) return [0, count];
    return cut ? [first[cut.first], first[cut.last + 1]] : [0, 0];
  }

  drawLines(now, stale) {
    const span = this.span(now);
    const { first } = now.track.pieces;
    const done = first[now.row] + now.track.piecesDone(now.row, now.part);
    const last = this.drawn;
    const kept = !stale && last && last.track === now.track && last.from === span[0] && last.to === span[1] && last.done <= done;
    if (!kept) {
      this.lines.clear(this.camera, this.ratio);
      this.lines.drawAll(now.track, this.camera, span, done, this.ink);
    } else if (done > last.done) {
      const cased = span[1] - span[0] <= CASED;
      this.lines.addDone(now.track, this.camera, [Math.max(span[0], last.done), Math.min(span[1], done)], this.ink, cased);
    }
    this.drawn = { track: now.track, from: span[0], to: span[1], done };
  }

  // What lies under a pixel: the feature there, else the nearest motion of this program.
  pick(now, sx, sy) {
    const feature = this.featureUnder(sx, sy);
    if (feature >= 0) return { feature };
    const place = projector(this.camera);
    const [from, to] = this.shows === "all" ? [0, now.track.pieces.count] : this.span(now);
    const { ends, owner } = now.track.pieces;
    let best = NEAR_PIXELS;
    let row = -1;
    for (let piece = from; piece < to; piece += 1) {
      const at = 6 * piece;
      if (!place(ends[at], ends[at + 1], ends[at + 2])) continue;
      const [ax, ay] = [place.x, place.y];
      if (!place(ends[at + 3], ends[at + 4], ends[at + 5])) continue;
      const away = fromStretch(sx, sy, ax, ay, place.x, place.y);
      if (away < best) [best, row] = [away, owner[piece]];
    }
    return row >= 0 ? { row } : null;
  }

  featureUnder(sx, sy) {
    let best = NEAR_PIXELS;
    let found = -1;
    this.wood.setup.features.forEach((feature, number) => {
      const [a, b] = [feature.from, feature.to].map(([x, y]) => this.camera.project(x, y, 0));
      if (!a || !b || (this.kind === "end" && feature.group === "frets")) return;
      const away = awayFrom(feature, [sx, sy], a, b, this.camera.scale);
      if (away < best) [best, found] = [away, number];
    });
    return found;
  }
}
