// What a wood is made of, place by place: blanks on their backing board, and pieces that are glued into a board.

import { stepsDown } from "./heights.js";

const SHELLS = [
  ["abalone", [122, 168, 158]],
  ["paua", [92, 142, 152]],
  ["pearl", [232, 234, 226]],
  ["nacre", [232, 234, 226]],
  ["shell", [232, 234, 226]],
  ["bone", [232, 222, 196]],
  ["horn", [188, 170, 138]],
];
const METALS = [
  ["brass", [196, 164, 84]],
  ["bronze", [168, 126, 78]],
  ["gold", [214, 176, 84]],
  ["copper", [190, 116, 82]],
  ["silver", [200, 202, 204]],
  ["aluminium", [188, 192, 196]],
  ["aluminum", [188, 192, 196]],
  ["steel", [168, 172, 178]],
];
const BACKING = [150, 122, 92]; // fibre board under blanks
const ON_BACKING = 1;

const named = (table, name) => table.find(([key]) => name.toLowerCase().includes(key));

// The colour of what has no grain; null for woods.
export const plainColour = (name) => (named([...SHELLS, ...METALS], name) || [0, null])[1];

// Whether a place lies in rings, each line crossed once.
const inRings = (rings, x, y) => {
  let inside = false;
  for (const ring of rings) {
    for (let index = 0, last = ring.length - 1; index < ring.length; last = index, index += 1) {
      const [a, b] = [ring[last], ring[index]];
      if (a[1] > y !== b[1] > y && x < a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0])) inside = !inside;
    }
  }
  return inside;
};

// Which colour each cell has: 0 is the wood's own; null where all of it is that.  ``colourOf`` gives a material's.
export const madeOf = (wood, colourOf) => {
  const { setup, nx, ny, cell, x0, y0 } = wood;
  const letIn = setup.let_in || [];
  if (!setup.blanks?.length && !letIn.length) return null;
  const kinds = new Uint8Array(nx * ny);
  const colours = [colourOf(setup.wood), BACKING, ...letIn.map((piece) => colourOf(piece.material))];
  letIn.forEach(({ rings }, number) => {
    const [xs, ys] = [0, 1].map((axis) => rings.flat().map((corner) => corner[axis]));
    const [low, high] = [Math.floor((Math.min(...ys) - y0) / cell), Math.ceil((Math.max(...ys) - y0) / cell)];
    const [from, to] = [Math.floor((Math.min(...xs) - x0) / cell), Math.ceil((Math.max(...xs) - x0) / cell)];
    for (let row = Math.max(0, low); row < Math.min(ny, high); row += 1) {
      for (let column = Math.max(0, from); column < Math.min(nx, to); column += 1) {
        if (inRings(rings, x0 + (column + 0.5) * cell, y0 + (row + 0.5) * cell)) kinds[row * nx + column] = ON_BACKING + 1 + number;
      }
    }
  });
  const under = setup.blanks?.length ? stepsDown(-setup.under) : -Infinity;
  return { at: (place, height) => colours[height <= under ? ON_BACKING : kinds[place]], backing: BACKING };
};
