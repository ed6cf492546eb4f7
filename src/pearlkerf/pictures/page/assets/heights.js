// A map of heights: its unit, what is air, and who is told which cells changed.

export const STEP_MM = 0.002; // 16 bits reach 65 mm down
export const AIR = -32768;

export const stepsDown = (mm) => Math.max(AIR + 1, Math.min(32767, Math.round(mm / STEP_MM)));

// Whoever draws the map keeps a rectangle of cells that changed since it last looked.
export class Watchers {
  constructor(nx, ny) {
    Object.assign(this, { nx, ny });
    this.rectangles = [];
  }

  watch() {
    const changed = { x0: 0, y0: 0, x1: this.nx - 1, y1: this.ny - 1 };
    this.rectangles.push(changed);
    return changed;
  }

  touch(x0, y0, x1, y1) {
    for (const changed of this.rectangles) {
      changed.x0 = Math.min(changed.x0, x0);
      changed.y0 = Math.min(changed.y0, y0);
      changed.x1 = Math.max(changed.x1, x1);
      changed.y1 = Math.max(changed.y1, y1);
    }
  }

  touchAll() {
    this.touch(0, 0, this.nx - 1, this.ny - 1);
  }
}

// Gives a watcher's rectangle and empties it; null where nothing changed.
export const takeChanged = (changed) => {
  if (changed.x1 < changed.x0) return null;
  const taken = { ...changed };
  changed.x0 = changed.y0 = Infinity;
  changed.x1 = changed.y1 = -Infinity;
  return taken;
};
