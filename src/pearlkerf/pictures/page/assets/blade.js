// A saw's blade: a disc upright across the board, as thick as its kerf along X; its tip is its lowest point.

import { stepsDown } from "./heights.js";

export const ALONG_X_MM = 1e-6; // a piece that goes no farther across runs along X

// The lowest height of the blade (radius r) at y, along a straight piece of its tip; Infinity where it does
// not pass.  Along the piece the discs sweep a capsule: its straight lower side, or the disc at an end.
const bladeLowest = (r, [ay, az], [by, bz], y) => {
  const [dy, dz] = [by - ay, bz - az];
  const length = Math.hypot(dy, dz);
  let share = dz < 0 ? 1 : 0;
  if (Math.abs(dy) > ALONG_X_MM) share = Math.min(1, Math.max(0, (y - ay - (r * Math.sign(dy) * dz) / length) / dy));
  const off = y - ay - dy * share;
  return Math.abs(off) <= r ? az + dz * share + r - Math.sqrt(r * r - off * off) : Infinity;
};

// One straight piece of a saw in a wood's map of heights.
export const sawStraight = (wood, [ax, ay, az, bx, by, bz], cutter) => {
  const { x0, y0, cell, nx, ny, heights } = wood;
  const [r, half] = [cutter.diameter / 2, cutter.kerf / 2];
  const rowFrom = Math.max(0, Math.ceil((Math.min(ay, by) - r - y0) / cell - 0.5));
  const rowTo = Math.min(ny - 1, Math.floor((Math.max(ay, by) + r - y0) / cell - 0.5));
  const columnFrom = Math.max(0, Math.ceil((Math.min(ax, bx) - half - x0) / cell - 0.5));
  const columnTo = Math.min(nx - 1, Math.floor((Math.max(ax, bx) + half - x0) / cell - 0.5));
  let touched = false;
  for (let row = rowFrom; row <= rowTo; row += 1) {
    const z = bladeLowest(r, [ay, az], [by, bz], y0 + (row + 0.5) * cell);
    if (z >= 0) continue;
    const height = stepsDown(z);
    for (let index = row * nx + columnFrom; index <= row * nx + columnTo; index += 1) {
      if (height >= heights[index]) continue;
      heights[index] = height;
      touched = true;
    }
  }
  if (touched) wood.watchers.touch(columnFrom, rowFrom, columnTo, rowTo);
};

// The blade's two rims, in whatever view.
export const traceBlade = (ctx, camera, [x, y, z], cutter) => {
  const r = cutter.diameter / 2;
  for (const side of [-cutter.kerf / 2, cutter.kerf / 2]) {
    for (let step = 0; step <= 72; step += 1) {
      const angle = (step * Math.PI) / 36;
      const at = camera.project(x + side, y + r * Math.sin(angle), z + r - r * Math.cos(angle));
      if (at && step) ctx.lineTo(...at);
      else if (at) ctx.moveTo(...at);
    }
  }
};
