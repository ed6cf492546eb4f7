// The strip over the picture: always the whole board in plan, with its numbers; a click goes to a fret or a dot.

import { awayFrom, numberedAlong, numberedSide } from "./features.js";

const STRIP_TALL = 84; // pixels for the board at most, so that the picture below keeps its room
const STRIP_SIDE = 14;
const STRIP_NUMBERS = 34; // above and below the board
const STRIP_APART = 16; // pixels between two numbers

export class Strip {
  constructor(canvas, viewer) {
    Object.assign(this, { canvas, viewer });
    this.context = canvas.getContext("2d");
    canvas.addEventListener("click", (event) => this.onClick(event));
  }

  draw(now) {
    const canvas = this.canvas;
    const { wood } = this.viewer;
    const width = canvas.parentElement.clientWidth;
    if (!width) return;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    const scale = Math.min((width - 2 * STRIP_SIDE) / wood.wide, STRIP_TALL / wood.tall);
    const height = Math.max(18, wood.tall * scale) + STRIP_NUMBERS;
    if (canvas.width !== Math.round(width * ratio) || canvas.height !== Math.round(height * ratio)) {
      canvas.width = Math.round(width * ratio);
      canvas.height = Math.round(height * ratio);
      canvas.style.height = `${height}px`;
    }
    const ctx = this.context;
    const left = (width - wood.wide * scale) / 2;
    this.lies = { left, scale, middle: height / 2, y0: wood.y0 + wood.tall / 2 };
    ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
    ctx.clearRect(0, 0, width, height);
    ctx.imageSmoothingQuality = "medium";
    const [wide, tall] = [wood.nx * wood.cell * scale, wood.ny * wood.cell * scale];
    ctx.drawImage(this.viewer.picture.bitmap.canvas, left, height / 2 + (wood.tall * scale) / 2 - tall, wide, tall);
    this.drawMarks(ctx, now, height);
  }

  drawMarks(ctx, now, height) {
    const { left, scale, middle, y0 } = this.lies;
    const { ink } = this.viewer.picture;
    const { wood } = this.viewer;
    const current = now.track.cuts[now.track.count ? now.track.cut_of[now.row] : -1];
    ctx.font = "11px system-ui, sans-serif";
    ctx.textAlign = "center";
    ctx.textBaseline = "middle";
    const taken = { low: [], high: [] };
    wood.setup.features.forEach((feature, number) => {
      const side = numberedSide(feature);
      if (!side) return;
      const x = left + (numberedAlong(feature, side) - wood.x0) * scale;
      if (taken[side].some((other) => Math.abs(x - other) < STRIP_APART)) return;
      taken[side].push(x);
      ctx.fillStyle = current && current.feature === number ? ink.feed : ink["bench-ink"];
      ctx.fillText(String(feature.number), x, side === "low" ? height - 8 : 8);
    });
    if (Number.isNaN(now.tip[0] + now.tip[1]) || this.viewer.picture.onPaper) return;
    const at = [left + (now.tip[0] - wood.x0) * scale, middle - (now.tip[1] - y0) * scale];
    for (const [colour, width] of [[ink.casing, 4], [ink.mark, 2]]) {
      ctx.strokeStyle = colour;
      ctx.lineWidth = width;
      ctx.beginPath();
      ctx.arc(at[0], at[1], 5, 0, 7);
      ctx.stroke();
    }
  }

  onClick(event) {
    const bounds = this.canvas.getBoundingClientRect();
    const { left, scale, middle, y0 } = this.lies;
    const x = this.viewer.wood.x0 + (event.clientX - bounds.left - left) / scale;
    const y = y0 - (event.clientY - bounds.top - middle) / scale;
    let [best, found] = [14 / scale, -1];
    this.viewer.wood.setup.features.forEach((feature, number) => {
      const away = awayFrom(feature, [x, y], feature.from, feature.to);
      if (away < best) [best, found] = [away, number];
    });
    if (found >= 0) this.viewer.goToFeature(found);
  }
}
