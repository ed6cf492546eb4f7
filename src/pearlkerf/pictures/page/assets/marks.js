// The marks over the picture: outlines of inlays, numbers of frets and dots, zero, and the cutter where it stands.

import { traceBlade } from "./blade.js";
import { numberedAlong, numberedSide } from "./features.js";
import { aboveTip } from "./wood.js";

export class Marks {
  constructor(canvas, picture) {
    this.picture = picture;
    this.context = canvas.getContext("2d");
  }

  draw(now) {
    const ctx = this.context;
    ctx.setTransform(this.picture.ratio, 0, 0, this.picture.ratio, 0, 0);
    ctx.clearRect(0, 0, this.picture.width, this.picture.height);
    if (this.picture.kind === "plan" || this.picture.kind === "free") {
      this.drawOutlines(ctx);
      this.drawNumbers(ctx, now);
    }
    this.drawZero(ctx);
    if (now.tip.some(Number.isNaN)) return;
    this.drawCutter(ctx, now);
  }

  // Pockets of any outline are drawn as they will be, before they are cut.
  drawOutlines(ctx) {
    const { camera, wood, ink } = this.picture;
    ctx.strokeStyle = ink["bench-ink"];
    ctx.lineWidth = 1;
    for (const ring of wood.setup.features.flatMap((feature) => feature.rings || [])) {
      const seen = ring.map(([x, y]) => camera.project(x, y, 0));
      if (seen.some((at) => !at)) continue;
      ctx.beginPath();
      for (const at of seen) ctx.lineTo(...at);
      ctx.closePath();
      ctx.stroke();
    }
  }

  // Frets are numbered along the low side, dots along the high side, as far as there is room.
  drawNumbers(ctx, now) {
    const { camera, wood, ink } = this.picture;
    ctx.font = "12px system-ui, sans-serif";
    ctx.textAlign = "center";
    ctx.textBaseline = "middle";
    const current = now.track.cuts[now.track.cut_of[now.row]];
    const taken = {};
    wood.setup.features.forEach((feature, number) => {
      const side = numberedSide(feature);
      if (!side) return;
      const x = numberedAlong(feature, side);
      const [low, high] = wood.sidesAt(x);
      const at = camera.project(x, side === "low" ? low : high, 0);
      const beyond = camera.project(x, side === "low" ? low - 1 : high + 1, 0);
      if (!at || !beyond) return;
      const length = Math.hypot(beyond[0] - at[0], beyond[1] - at[1]) || 1;
      const place = [at[0] + (13 * (beyond[0] - at[0])) / length, at[1] + (13 * (beyond[1] - at[1])) / length];
      const before = taken[side];
      if (before && Math.hypot(place[0] - before[0], place[1] - before[1]) < 17) return;
      taken[side] = place;
      ctx.fillStyle = current && current.feature === number ? ink.feed : ink["bench-ink"];
      ctx.fillText(String(feature.number), ...place);
    });
  }

  drawZero(ctx) {
    const at = this.picture.camera.project(0, 0, 0);
    if (!at) return;
    for (const [colour, width] of [[this.picture.ink.casing, 4], [this.picture.ink.zero, 1.8]]) {
      ctx.strokeStyle = colour;
      ctx.lineWidth = width;
      ctx.beginPath();
      ctx.arc(at[0], at[1], 6, 0, 7);
      ctx.moveTo(at[0] - 11, at[1]);
      ctx.lineTo(at[0] + 11, at[1]);
      ctx.moveTo(at[0], at[1] - 11);
      ctx.lineTo(at[0], at[1] + 11);
      ctx.stroke();
    }
  }

  drawCutter(ctx, now) {
    const r = now.cutter ? now.cutter.diameter / 2 : 0.5;
    const tall = Math.max(6, 5 * r);
    const [x, y, z] = now.tip;
    for (const [colour, width] of [[this.picture.ink.casing, 4], [this.picture.ink.mark, 1.8]]) {
      ctx.strokeStyle = colour;
      ctx.lineWidth = width;
      ctx.beginPath();
      if (now.cutter && now.cutter.kerf) traceBlade(ctx, this.picture.camera, now.tip, now.cutter);
      else if (this.picture.kind === "plan") this.traceRound(ctx, x, y, z, r);
      else if (this.picture.kind === "free") {
        this.traceRound(ctx, x, y, z, r);
        this.traceRound(ctx, x, y, z + tall, r);
        const { right } = this.picture.camera;
        for (const side of [-r, r]) this.traceLine(ctx, [x + side * right[0], y + side * right[1], z], [x + side * right[0], y + side * right[1], z + tall]);
      } else this.traceProfile(ctx, now, r, tall);
      ctx.stroke();
    }
    const at = this.picture.camera.project(x, y, z);
    if (!at) return;
    ctx.beginPath();
    ctx.arc(at[0], at[1], 3, 0, 7);
    ctx.fillStyle = this.picture.ink.mark;
    ctx.fill();
  }

  traceRound(ctx, x, y, z, r) {
    for (let step = 0; step <= 36; step += 1) {
      const angle = (step * Math.PI) / 18;
      const at = this.picture.camera.project(x + r * Math.cos(angle), y + r * Math.sin(angle), z);
      if (at && step) ctx.lineTo(...at);
      else if (at) ctx.moveTo(...at);
    }
  }

  traceLine(ctx, from, to) {
    const [a, b] = [this.picture.camera.project(...from), this.picture.camera.project(...to)];
    if (!a || !b) return;
    ctx.moveTo(...a);
    ctx.lineTo(...b);
  }

  // The cutter from the side, with the shape of its tip.
  traceProfile(ctx, now, r, tall) {
    const along = this.picture.kind === "edge";
    const [x, y, z] = now.tip;
    const place = (off, up) => this.picture.camera.project(along ? x + off : x, along ? y : y + off, z + up);
    ctx.moveTo(...place(-r, tall));
    for (let step = -12; step <= 12; step += 1) {
      const off = (r * step) / 12;
      ctx.lineTo(...place(off, now.cutter ? aboveTip(now.cutter, Math.abs(off)) : 0));
    }
    ctx.lineTo(...place(r, tall));
  }
}
