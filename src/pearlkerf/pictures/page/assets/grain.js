// What the wood looks like from above: grain, fresh cuts, light from the far left, shadows in what is deep.

import { AIR, STEP_MM, Watchers, takeChanged } from "./heights.js";
import { madeOf, plainColour } from "./inlaid.js";

const WOODS = [
  ["ebony", [58, 48, 44]],
  ["african blackwood", [52, 43, 42]],
  ["blackwood", [72, 52, 40]],
  ["wenge", [74, 54, 40]],
  ["katalox", [78, 52, 46]],
  ["rosewood", [104, 64, 44]],
  ["cocobolo", [128, 66, 40]],
  ["pau ferro", [126, 84, 58]],
  ["padauk", [146, 66, 42]],
  ["walnut", [112, 82, 58]],
  ["mahogany", [140, 86, 58]],
  ["ziricote", [84, 66, 54]],
  ["maple", [216, 184, 138]],
  ["birch", [220, 192, 150]],
  ["boxwood", [218, 184, 118]],
  ["beech", [204, 164, 122]],
  ["pear", [196, 150, 118]],
  ["ash", [208, 180, 138]],
  ["oak", [188, 148, 100]],
];
const ANY_WOOD = [132, 94, 64];
export const FRESH = [236, 208, 164]; // what a new cut lightens toward
const FRESH_SHARE = 0.22;
const SHADOW_REACH = [1, 2, 3, 5, 8, 13]; // cells, at which walls are looked for
const SHADOW_CELLS = 14;

const PLAIN_FIGURE = 0.3; // how much of a wood's figure shell and metal show
const LEAST_LIGHT = 0.13; // luminance, 0 to 1: no wood is drawn so dark that it sinks into the bench, or a slot into it
const LAMPLIGHT = [205, 186, 172]; // what dark woods are lifted toward

// Relative luminance of a colour, 0 to 1 (WCAG 2.2, definition of relative luminance).
const luminance = (colour) => {
  const [r, g, b] = colour.map((value) => (value <= 10.31 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};

const lifted = (colour) => {
  let shown = colour;
  while (luminance(shown) < LEAST_LIGHT) shown = shown.map((value, channel) => value + (LAMPLIGHT[channel] - value) * 0.03);
  return shown;
};

const woodColour = (name) => {
  const wood = WOODS.find(([key]) => name.toLowerCase().includes(key)) || ["", ANY_WOOD];
  return lifted(plainColour(name) || wood[1]);
};

// A number from 0 to 1 that depends on two whole numbers alone: the same board looks the same every time.
const scatter = (a, b) => {
  let hash = Math.imul(a, 374761393) ^ Math.imul(b, 668265263);
  hash = Math.imul(hash ^ (hash >>> 13), 1274126177);
  return ((hash ^ (hash >>> 16)) >>> 0) / 4294967296;
};

const smooth = (x, y) => {
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const [u, v] = [x - i, y - j];
  const [p, q] = [u * u * (3 - 2 * u), v * v * (3 - 2 * v)];
  const low = scatter(i, j) * (1 - p) + scatter(i + 1, j) * p;
  const high = scatter(i, j + 1) * (1 - p) + scatter(i + 1, j + 1) * p;
  return low * (1 - q) + high * q;
};

export class WoodBitmap {
  constructor(wood) {
    this.wood = wood;
    this.changed = wood.watchers.watch();
    this.watchers = new Watchers(wood.nx, wood.ny);
    this.canvas = document.createElement("canvas");
    this.canvas.width = wood.nx;
    this.canvas.height = wood.ny;
    this.context = this.canvas.getContext("2d");
    this.colour = woodColour(wood.setup.wood);
    this.figure = plainColour(wood.setup.wood) ? PLAIN_FIGURE : 1;
    this.made = madeOf(wood, woodColour);
    this.grain = this.drawGrain();
  }

  // Brightness of the uncut face, around 128: long streaks, a slow wander, and open pores.
  drawGrain() {
    const { nx, ny, cell } = this.wood;
    const grain = new Uint8Array(nx * ny);
    const coarse = 4; // streaks change slowly along the board: reckon every fourth cell
    for (let row = 0; row < ny; row += 1) {
      const y = row * cell;
      for (let column = 0; column < nx; column += coarse) {
        const x = column * cell;
        const wander = 3 * smooth(x * 0.012, y * 0.05);
        const streak = smooth(x * 0.01 + 40, (y + wander) * 0.7) - 0.5;
        const fine = smooth(x * 0.05, (y + wander) * 3.1 + 90) - 0.5;
        const value = 128 + this.figure * (62 * streak + 26 * fine);
        for (let more = 0; more < coarse && column + more < nx; more += 1) {
          const pore = this.figure === 1 && scatter((column + more) >> 3, row * 7 + 3) > 0.965 ? 18 : 0;
          grain[row * nx + column + more] = value - pore;
        }
      }
    }
    return grain;
  }

  // Paints what changed since the last time; rows of the canvas run downward, those of the wood upward.
  refresh() {
    const area = takeChanged(this.changed);
    if (!area) return;
    const { nx, ny } = this.wood;
    const [x0, x1] = [Math.max(0, area.x0 - SHADOW_CELLS), Math.min(nx - 1, area.x1 + SHADOW_CELLS)];
    const [y0, y1] = [Math.max(0, area.y0 - SHADOW_CELLS), Math.min(ny - 1, area.y1 + SHADOW_CELLS)];
    const image = this.context.createImageData(x1 - x0 + 1, y1 - y0 + 1);
    const pixels = new Uint32Array(image.data.buffer);
    for (let row = y0; row <= y1; row += 1) this.paintRow(row, x0, x1, pixels, (y1 - row) * image.width);
    this.context.putImageData(image, x0, ny - 1 - y1);
    this.watchers.touch(x0, y0, x1, y1);
  }

  paintRow(row, x0, x1, pixels, to) {
    const { nx, heights, raw, cell } = this.wood;
    let [red, green, blue] = this.colour;
    for (let column = x0; column <= x1; column += 1, to += 1) {
      const at = row * nx + column;
      const height = heights[at];
      if (height === AIR) continue;
      if (this.made) [red, green, blue] = this.made.at(at, height);
      const deep = (raw[at] - height) * STEP_MM;
      let light = 0.72 + (this.grain[at] * 0.56) / 256;
      let mix = 0;
      if (deep > 0.004) {
        mix = FRESH_SHARE;
        light = (light + 1) / 2;
        light *= Math.max(0.62, 1 - deep * 0.06) * (1 - 0.62 * this.shade(at, row, column, height, cell));
      } else {
        light *= this.edgeLight(at, row, column, height);
      }
      const r = (red + (FRESH[0] - red) * mix) * light;
      const g = (green + (FRESH[1] - green) * mix) * light;
      const b = (blue + (FRESH[2] - blue) * mix) * light;
      pixels[to] = (255 << 24) | (Math.min(255, b) << 16) | (Math.min(255, g) << 8) | Math.min(255, r);
    }
  }

  // Part of the light, 0 to 1, that walls to the far left keep from a place in a cut.
  shade(at, row, column, height, cell) {
    const { nx, ny, heights } = this.wood;
    let kept = 0;
    for (const away of SHADOW_REACH) {
      if (column < away || row + away >= ny) break;
      const wall = (heights[at - away + away * nx] - height) * STEP_MM;
      kept = Math.max(kept, Math.min(1, wall / (away * cell * 1.2) - 0.25));
    }
    return Math.max(0, kept);
  }

  // A crisp rim where the uncut face breaks off: lit toward the light, dark away from it.
  edgeLight(at, row, column, height) {
    const { nx, ny, heights } = this.wood;
    const right = column + 1 < nx && row > 0 ? heights[at + 1 - nx] : height;
    const left = column > 0 && row + 1 < ny ? heights[at - 1 + nx] : height;
    if (height - right > 60) return 1.16;
    return height - left > 60 ? 0.84 : 1;
  }
}
