// A section: the wood cut through at the cutter, along the board (edge view) or across it (end view).

import { FRESH } from "./grain.js";

export class Section {
  constructor(picture) {
    this.picture = picture;
  }

  // The wood cut through at the cutter: along the board (edge) or across it (end).
  draw(ctx, tip) {
    const { camera, wood, ink, bitmap } = this.picture;
    const along = camera.kind === "edge";
    const axis = along ? 0 : 1;
    const other = this.sectionAt(1 - axis, tip);
    const begin = along ? wood.x0 : wood.y0;
    const count = along ? wood.nx : wood.ny;
    const place = (value, z) => (along ? camera.project(value, 0, z) : camera.project(0, value, z));
    const trace = (heightOf) => {
      ctx.beginPath();
      let open = false;
      for (let cell = 0; cell <= count; cell += 1) {
        const value = begin + (cell + 0.5) * wood.cell;
        const z = cell < count ? heightOf(value) : null;
        if (z !== null) {
          if (!open) ctx.moveTo(...place(value - wood.cell / 2, wood.bottom));
          ctx.lineTo(...place(value - wood.cell / 2, z));
          ctx.lineTo(...place(value + wood.cell / 2, z));
        } else if (open) {
          ctx.lineTo(...place(value - wood.cell / 2, wood.bottom));
        }
        open = z !== null;
      }
    };
    ctx.fillStyle = ink["section-edge"];
    ctx.globalAlpha = 0.3;
    trace((value) => (along ? wood.rawAt(value, other) : wood.rawAt(other, value)));
    ctx.fill();
    ctx.globalAlpha = 1;
    trace((value) => (along ? wood.heightAt(value, other) : wood.heightAt(other, value)));
    ctx.fillStyle = `rgb(${bitmap.colour.map((value, n) => Math.round(value + (FRESH[n] - value) * 0.25))})`;
    ctx.fill();
    ctx.strokeStyle = ink["section-edge"];
    ctx.lineWidth = 1;
    ctx.stroke();
  }

  // Where the section goes through: at the cutter, or, while it stands beside the board, through the middle.
  sectionAt(axis, tip) {
    const { wood } = this.picture;
    const [low, high] = axis === 0 ? [wood.x0, wood.x0 + wood.wide] : wood.sidesAt(tip[0]);
    return tip[axis] > low && tip[axis] < high ? tip[axis] : (low + high) / 2;
  }
}
