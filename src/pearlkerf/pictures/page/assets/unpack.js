// Undoes data.py: base 64, deflate, byte planes, folded differences.

const inflate = async (base64) => {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};

// Takes one column after another from the bytes of a program.
class Columns {
  constructor(bytes) {
    this.bytes = bytes;
    this.at = 0;
  }

  plain(count) {
    this.at += count;
    return this.bytes.subarray(this.at - count, this.at);
  }

  // Sums of folded differences, times a unit: Float64, since micrometres of a long board need 24 bits and times more.
  summed(count, unit) {
    const [a, b, c, d] = [0, 1, 2, 3].map(() => this.plain(count));
    const values = new Float64Array(count);
    let sum = 0;
    for (let row = 0; row < count; row += 1) {
      const folded = (a[row] | (b[row] << 8) | (c[row] << 16) | (d[row] << 24)) >>> 0;
      sum += folded & 1 ? -((folded + 1) / 2) : folded / 2;
      values[row] = sum * unit;
    }
    return values;
  }
}

// Motions of one program as columns; one row a motion, lengths in mm, times in s.
export const unpackMotions = async (program) => {
  const columns = new Columns(await inflate(program.motions));
  const n = program.rows;
  const arcs = program.arcs;
  const motions = {
    count: n,
    x: columns.summed(n, 0.001),
    y: columns.summed(n, 0.001),
    z: columns.summed(n, 0.001),
    line: columns.summed(n, 1),
    starts: columns.summed(n + 1, 0.001),
    feed: columns.summed(n, 0.1),
    speed: columns.summed(n, 1),
    flags: columns.plain(n),
    spoke: [columns.summed(arcs, 0.001), columns.summed(arcs, 0.001), columns.summed(arcs, 0.001)],
    sweep: columns.summed(arcs, 1e-6),
    plane: columns.plain(arcs),
  };
  return motions;
};

// The program's text; lines that folding.py has folded get their figures back from the motions.
export const unpackText = async (program, motions) => {
  const text = new TextDecoder().decode(await inflate(program.text));
  const lines = text.split(/\r\n|\n|\r/);
  if (lines.length > 1 && lines[lines.length - 1] === "") lines.pop();
  if (program.style) unfold(lines, motions, program.style);
  return lines;
};

const unfold = (lines, motions, style) => {
  for (let row = 0; row < motions.count; row += 1) {
    const at = motions.line[row] - 1;
    if (lines[at].charCodeAt(0) !== 1) continue;
    lines[at] = lines[at].slice(1).replace(/[xyz]/g, (axis) => {
      const full = motions[axis][row].toFixed(3).replace(/^-(0\.000)$/, "$1");
      return axis.toUpperCase() + (style === "full" ? full : full.replace(/0{1,2}$/, ""));
    });
  }
};
