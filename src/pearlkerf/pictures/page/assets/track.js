// A program's motion: where the tip is at any time, and the straight pieces that pictures are drawn from.

export const RAPID = 0;
const ARC = 2;
const CHORD_MM = 0.004; // how far a drawn chord may leave its arc: less than a pixel at any useful distance
const WHOLE = 1e-9; // of a piece: what rounding may lack of a whole one

export class Track {
  constructor(program, motions, lines) {
    Object.assign(this, motions);
    this.file = program.file;
    this.says = program.says;
    this.lines = lines;
    this.begin = program.begin;
    this.known = program.known;
    this.cuts = program.cuts.map(([name, first, last, feature]) => ({ name, first, last, feature }));
    this.events = program.events.map(([kind, before, line, value, text]) => ({ kind, before, line, value, text }));
    this.sections = program.sections;
    this.setup = program.setup;
    this.total = this.count ? this.starts[this.count] : 0;
    this.waits = new Map();
    for (const event of this.events) {
      if (event.kind !== "dwell") continue;
      this.waits.set(event.before, (this.waits.get(event.before) || 0) + event.value);
    }
    this.arcOf = new Map();
    for (let row = 0; row < this.count; row += 1) if (this.kind(row) === ARC) this.arcOf.set(row, this.arcOf.size);
    this.cut_of = this.cutOfEachMotion();
    this.pieces = this.straightPieces();
  }

  kind(row) {
    return this.flags[row] & 3;
  }

  spindle(row) {
    return this.flags[row] >> 2;
  }

  coordinate(axis, row) {
    if (row < 0) return this.begin[axis] ?? NaN;
    if (row < this.known[axis]) return this.begin[axis] ?? NaN;
    return (axis === 0 ? this.x : axis === 1 ? this.y : this.z)[row];
  }

  end(row) {
    return [this.coordinate(0, row), this.coordinate(1, row), this.coordinate(2, row)];
  }

  // When a motion is done: the next one starts after the dwell between them.
  done(row) {
    return this.starts[row + 1] - (this.waits.get(row + 1) || 0);
  }

  // The motion that runs at a time, and how far through it we are, 0 to 1.
  at(time) {
    let low = 0;
    let high = this.count - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.starts[middle] <= time) low = middle;
      else high = middle - 1;
    }
    const takes = this.done(low) - this.starts[low];
    const part = takes > 0 ? Math.min(1, Math.max(0, (time - this.starts[low]) / takes)) : 1;
    return { row: low, part };
  }

  point(row, part) {
    const to = this.end(row);
    if (part >= 1) return to;
    const from = this.end(row - 1);
    if (this.kind(row) === ARC) return this.onArc(row, from, to, part);
    return from.map((value, axis) => value + (to[axis] - value) * part);
  }

  onArc(row, from, to, part) {
    const arc = this.arcOf.get(row);
    const spoke = this.spoke.map((column) => column[arc]);
    const [u, v, w] = { 17: [0, 1, 2], 18: [2, 0, 1], 19: [1, 2, 0] }[this.plane[arc]];
    const angle = this.sweep[arc] * part;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const point = [0, 0, 0];
    point[u] = from[u] + spoke[u] - c * spoke[u] + s * spoke[v];
    point[v] = from[v] + spoke[v] - s * spoke[u] - c * spoke[v];
    point[w] = from[w] + (to[w] - from[w]) * part;
    return point;
  }

  cutOfEachMotion() {
    const of = new Int32Array(this.count).fill(-1);
    this.cuts.forEach((cut, number) => of.fill(number, cut.first, cut.last + 1));
    return of;
  }

  cutterAt(row) {
    let number = -1;
    for (const [first, cutter] of this.sections) if (first <= row) number = cutter;
    return number;
  }

  // Arcs as chords.  ``first[row]`` is the first piece of a motion; a motion of unknown start has no piece.
  straightPieces() {
    const first = new Uint32Array(this.count + 1);
    const ends = [];
    const owner = [];
    for (let row = 0; row < this.count; row += 1) {
      first[row] = owner.length;
      const from = this.end(row - 1);
      const to = this.end(row);
      if (Number.isNaN(from[0] + from[1] + from[2] + to[0] + to[1] + to[2])) continue;
      const steps = this.kind(row) === ARC ? this.chords(row) : 1;
      let last = from;
      for (let step = 1; step <= steps; step += 1) {
        const next = step === steps ? to : this.onArc(row, from, to, step / steps);
        ends.push(last[0], last[1], last[2], next[0], next[1], next[2]);
        owner.push(row);
        last = next;
      }
    }
    first[this.count] = owner.length;
    return { first, ends: Float32Array.from(ends), owner: Uint32Array.from(owner), count: owner.length };
  }

  // How many pieces of a motion are done once a part of it, 0 to 1, is.
  piecesDone(row, part) {
    const { first } = this.pieces;
    return Math.floor(part * (first[row + 1] - first[row]) + WHOLE);
  }

  chords(row) {
    const arc = this.arcOf.get(row);
    const radius = Math.hypot(...this.spoke.map((column) => column[arc]));
    const turn = 2 * Math.acos(Math.max(0, 1 - CHORD_MM / Math.max(radius, CHORD_MM)));
    return Math.min(400, Math.max(1, Math.ceil(Math.abs(this.sweep[arc]) / Math.max(turn, 0.02))));
  }

  // First motion of a line of the text; where the line has none, the last motion before it.
  motionOfLine(line) {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.line[middle] < line) low = middle + 1;
      else high = middle;
    }
    return low < this.count && this.line[low] === line ? low : low - 1;
  }
}
