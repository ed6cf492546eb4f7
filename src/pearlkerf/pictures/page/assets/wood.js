// The wood as a map of heights, cut by every motion in turn.
//
// A cell holds the height of the surface at its middle, in steps of 2 micrometres (16 bits reach 65 mm
// down).  A flat cutter takes a cell down to the lowest height that its tip has anywhere within the
// cutter's radius of the cell, which for a straight piece lies at one end of the stretch in reach.

import { ALONG_X_MM, sawStraight } from "./blade.js";
import { AIR, STEP_MM, Watchers, stepsDown } from "./heights.js";

const MOST_CELLS = 1.5e6;
const MOST_ACROSS = 4096; // the widest texture that every WebGL2 has to offer is smaller, most offer this
const FINEST_MM = 0.06;
const SNAPSHOTS = 8;

// Where an outline crosses a line at a place of one axis (0: at an x, 1: at a y), along the other, ascending.
const crossings = (outline, axis, place) => {
  const found = [];
  outline.forEach((a, index) => {
    const b = outline[(index + 1) % outline.length];
    if (a[axis] > place === b[axis] > place) return;
    found.push(a[1 - axis] + ((place - a[axis]) / (b[axis] - a[axis])) * (b[1 - axis] - a[1 - axis]));
  });
  return found.sort((a, b) => a - b);
};

export class Wood {
  constructor(setup) {
    this.setup = setup;
    const xs = setup.outline.map((corner) => corner[0]);
    const ys = setup.outline.map((corner) => corner[1]);
    this.x0 = Math.min(...xs);
    this.y0 = Math.min(...ys);
    this.wide = Math.max(...xs) - this.x0;
    this.tall = Math.max(...ys) - this.y0;
    this.cell = Math.max(FINEST_MM, this.wide / MOST_ACROSS, this.tall / MOST_ACROSS, Math.sqrt((this.wide * this.tall) / MOST_CELLS));
    this.nx = Math.max(1, Math.ceil(this.wide / this.cell));
    this.ny = Math.max(1, Math.ceil(this.tall / this.cell));
    this.raw = this.rawTop();
    this.heights = this.raw.slice();
    this.bottom = -setup.thickness;
    this.watchers = new Watchers(this.nx, this.ny);
  }

  // Heights before any cut: the crowned or flat top inside the outline, air outside.
  rawTop() {
    const top = new Int16Array(this.nx * this.ny).fill(AIR);
    for (let row = 0; row < this.ny; row += 1) {
      const y = this.y0 + (row + 0.5) * this.cell;
      const sides = crossings(this.setup.outline, 1, y);
      for (let pair = 0; pair + 1 < sides.length; pair += 2) {
        const from = Math.max(0, Math.ceil((sides[pair] - this.x0) / this.cell - 0.5));
        const to = Math.min(this.nx - 1, Math.floor((sides[pair + 1] - this.x0) / this.cell - 0.5));
        for (let column = from; column <= to; column += 1) {
          top[row * this.nx + column] = stepsDown(this.rawHeight(this.x0 + (column + 0.5) * this.cell, y));
        }
      }
    }
    return top;
  }

  rawHeight(x, y) {
    const { blanks } = this.setup;
    if (blanks?.length && !blanks.some(([west, south, east, north]) => x > west && x < east && y > south && y < north)) return -this.setup.under;
    if (!this.setup.crown) return 0;
    const [atNut, atEnd, length] = this.setup.crown;
    const [angle, dx, dy] = this.setup.placement;
    const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
    const along = c * (x - dx) + s * (y - dy);
    const across = -s * (x - dx) + c * (y - dy);
    const radius = atNut + (atEnd - atNut) * Math.min(1, Math.max(0, along / length));
    return -(across * across) / (radius + Math.sqrt(Math.max(0, radius * radius - across * across)));
  }

  // The tracks that cut this wood, in order, with the cutter of every motion.
  takeTracks(tracks, cutterOf) {
    this.tracks = tracks;
    this.cutterOf = cutterOf;
    this.offsets = [];
    this.pieces = 0;
    for (const track of tracks) {
      this.offsets.push(this.pieces);
      this.pieces += track.pieces.count;
    }
    this.restart();
  }

  restart() {
    this.heights.set(this.raw);
    this.snapshots = [{ done: 0, heights: this.raw }];
    this.done = 0;
    this.part = 0;
    this.watchers.touchAll();
  }

  // Cuts, or uncuts, to a place in a track: all pieces before it whole, and its own up to ``tip``.
  cutTo(track, row, part, tip) {
    const target = this.offsets[this.tracks.indexOf(track)] + track.pieces.first[row];
    const own = track.pieces.first[row + 1] - track.pieces.first[row];
    const whole = target + track.piecesDone(row, part);
    if (whole < this.done || (whole === this.done && part < this.part)) this.goBack(whole);
    this.cutPieces(whole);
    this.part = part;
    if (part < 1 && own > 0 && whole < target + own) this.cutPartly(track, whole, row, tip);
  }

  goBack(target) {
    const best = this.snapshots.filter((each) => each.done <= target).pop();
    this.heights.set(best.heights);
    this.done = best.done;
    this.part = 0;
    this.watchers.touchAll();
  }

  cutPieces(target) {
    const every = Math.max(2000, Math.ceil(this.pieces / SNAPSHOTS));
    while (this.done < target) {
      const number = this.trackOf(this.done);
      const track = this.tracks[number];
      const { ends, owner, count } = track.pieces;
      const stop = Math.min(target, this.offsets[number] + count, (Math.floor(this.done / every) + 1) * every);
      for (; this.done < stop; this.done += 1) {
        const piece = this.done - this.offsets[number];
        const at = 6 * piece;
        this.cutStraight(ends.subarray(at, at + 6), this.cutterOf(track, owner[piece]));
      }
      const last = this.snapshots[this.snapshots.length - 1];
      if (this.done % every === 0 && this.done > last.done) {
        this.snapshots.push({ done: this.done, heights: this.heights.slice() });
      }
    }
  }

  trackOf(piece) {
    let number = 0;
    while (number + 1 < this.tracks.length && this.offsets[number + 1] <= piece) number += 1;
    return number;
  }

  cutPartly(track, whole, row, tip) {
    const at = 6 * (whole - this.offsets[this.tracks.indexOf(track)]);
    const begun = track.pieces.ends.subarray(at, at + 3);
    this.cutStraight([begun[0], begun[1], begun[2], tip[0], tip[1], tip[2]], this.cutterOf(track, row));
  }

  // One straight piece with one cutter.  A drill or ball is held against the nearest point of the piece only,
  // which is exact for plunges and level moves.
  cutStraight([ax, ay, az, bx, by, bz], cutter) {
    if (!cutter || Math.min(az, bz) >= 0) return;
    if (cutter.kerf) sawStraight(this, [ax, ay, az, bx, by, bz], cutter);
    if (cutter.kind === "saw") return;
    const r = cutter.diameter / 2;
    const [dx, dy, dz] = [bx - ax, by - ay, bz - az];
    const length2 = dx * dx + dy * dy;
    const { x0, y0, cell, nx, ny, heights } = this;
    const rowFrom = Math.max(0, Math.ceil((Math.min(ay, by) - r - y0) / cell - 0.5));
    const rowTo = Math.min(ny - 1, Math.floor((Math.max(ay, by) + r - y0) / cell - 0.5));
    const left = Math.min(ax, bx) - r;
    const right = Math.max(ax, bx) + r;
    const steep = Math.abs(dy) > ALONG_X_MM ? (r * Math.sqrt(length2)) / Math.abs(dy) : Infinity;
    const flat = cutter.kind === "end mill";
    let touchedFrom = nx;
    let touchedTo = -1;
    for (let row = rowFrom; row <= rowTo; row += 1) {
      const py = y0 + (row + 0.5) * cell;
      let [from, to] = [left, right];
      if (steep !== Infinity) {
        const middle = ax + ((py - ay) / dy) * dx;
        from = Math.max(from, middle - steep);
        to = Math.min(to, middle + steep);
      }
      const columnFrom = Math.max(0, Math.ceil((from - x0) / cell - 0.5));
      const columnTo = Math.min(nx - 1, Math.floor((to - x0) / cell - 0.5));
      for (let column = columnFrom; column <= columnTo; column += 1) {
        const ex = x0 + (column + 0.5) * cell - ax;
        const ey = py - ay;
        const along = length2 > 0 ? (ex * dx + ey * dy) / length2 : 0;
        let z;
        if (flat) {
          const off2 = length2 > 0 ? (ex * dy - ey * dx) ** 2 / length2 : ex * ex + ey * ey;
          if (off2 > r * r) continue;
          const reach = length2 > 0 ? Math.sqrt((r * r - off2) / length2) : 1;
          const first = Math.max(0, along - reach);
          const last = Math.min(1, along + reach);
          if (first > last) continue;
          z = az + dz * (dz < 0 ? last : first);
        } else {
          const near = length2 > 0 ? Math.min(1, Math.max(0, along)) : dz < 0 ? 1 : 0;
          const off = Math.hypot(ex - dx * near, ey - dy * near);
          if (off > r) continue;
          z = az + dz * near + aboveTip(cutter, off);
        }
        const index = row * nx + column;
        const height = stepsDown(z);
        if (height < heights[index]) {
          heights[index] = height;
          if (column < touchedFrom) touchedFrom = column;
          if (column > touchedTo) touchedTo = column;
        }
      }
    }
    if (touchedTo >= touchedFrom) this.watchers.touch(touchedFrom, rowFrom, touchedTo, rowTo);
  }

  // Surface height in mm at a place, as it is now; null in the air.
  heightAt(x, y) {
    return this.heightIn(this.heights, x, y);
  }

  rawAt(x, y) {
    return this.heightIn(this.raw, x, y);
  }

  // Lowest and highest y of the outline at an x; the whole of it where x lies beyond the wood.
  sidesAt(x) {
    const sides = crossings(this.setup.outline, 0, x);
    return sides.length ? [sides[0], sides[sides.length - 1]] : [this.y0, this.y0 + this.tall];
  }

  heightIn(heights, x, y) {
    const column = Math.floor((x - this.x0) / this.cell);
    const row = Math.floor((y - this.y0) / this.cell);
    if (column < 0 || row < 0 || column >= this.nx || row >= this.ny) return null;
    const height = heights[row * this.nx + column];
    return height === AIR ? null : height * STEP_MM;
  }
}

// How far a cutter's surface stands above its tip, at a distance from its axis.
export const aboveTip = (cutter, off) => {
  const r = cutter.diameter / 2;
  if (cutter.kind === "ball") return r - Math.sqrt(Math.max(0, r * r - off * off));
  if (cutter.kind === "twist drill") return (cutter.point * off) / r;
  if (cutter.kind === "brad point") return Math.min(cutter.point, (cutter.point * off) / (0.2 * r)); // a slim spur
  return 0;
};
