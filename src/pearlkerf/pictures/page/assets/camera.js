// Where the picture is seen from.  Plan, edge and end look straight along an axis; free looks from
// anywhere, with perspective.  All four give the same thing: a way from millimetres to pixels.

export const VIEWS = {
  plan: "Straight down on the board, its nut at the left, the operator at the bottom.",
  edge: "A section along the board, through the cutter, seen from the operator.",
  end: "A section across the board, through the cutter, seen from the bridge end; the operator is at the left.",
  free: "From anywhere: drag, or use the arrow keys, to turn the board.",
};

export class Camera {
  constructor() {
    this.kind = "free";
    this.target = [0, 0, 0];
    this.scale = 2; // pixels (of the page) a millimetre at the target
    this.turn = 0;
    this.lift = 0;
    this.resize(100, 100);
  }

  resize(width, height) {
    this.width = width;
    this.height = height;
    this.focal = 1.5 * Math.max(width, 1.4 * height);
    this.settle();
  }

  // Axes of the picture: to the right, upward, and away from the eye.
  settle() {
    const [ct, st] = [Math.cos(this.turn), Math.sin(this.turn)];
    const [cl, sl] = [Math.cos(this.lift), Math.sin(this.lift)];
    if (this.kind === "plan") [this.right, this.up, this.away] = [[1, 0, 0], [0, 1, 0], [0, 0, -1]];
    else if (this.kind === "edge") [this.right, this.up, this.away] = [[1, 0, 0], [0, 0, 1], [0, 1, 0]];
    else if (this.kind === "end") [this.right, this.up, this.away] = [[0, 1, 0], [0, 0, 1], [-1, 0, 0]];
    else [this.right, this.up, this.away] = [[ct, st, 0], [-st * sl, ct * sl, cl], [-st * cl, ct * cl, -sl]];
    this.distance = this.focal / this.scale;
  }

  get perspective() {
    return this.kind === "free";
  }

  // A point on the picture, in pixels; null behind the eye.
  project(x, y, z) {
    const [tx, ty, tz] = this.target;
    const [px, py, pz] = [x - tx, y - ty, z - tz];
    const { right, up, away } = this;
    let k = this.scale;
    if (this.perspective) {
      const far = this.distance + px * away[0] + py * away[1] + pz * away[2];
      if (far < 0.05 * this.distance) return null;
      k = this.focal / far;
    }
    return [
      this.width / 2 + k * (px * right[0] + py * right[1] + pz * right[2]),
      this.height / 2 - k * (px * up[0] + py * up[1] + pz * up[2]),
    ];
  }

  // Sets target and scale so that a box is seen whole.
  fit(box, margin) {
    this.target = [(box[0] + box[3]) / 2, (box[1] + box[4]) / 2, (box[2] + box[5]) / 2];
    this.scale = 1;
    for (let again = 0; again < 8; again += 1) {
      this.settle();
      const seen = this.boundsOf(box);
      if (!seen) {
        this.scale *= 0.6;
        continue;
      }
      const room = Math.min((this.width - 2 * margin) / (seen[2] - seen[0]), (this.height - 2 * margin) / (seen[3] - seen[1]));
      this.scale *= room;
      this.settle();
      const now = this.boundsOf(box);
      if (!now) continue;
      this.slide((now[0] + now[2]) / 2 - this.width / 2, (now[1] + now[3]) / 2 - this.height / 2);
      if (Math.abs(room - 1) < 0.005) break;
    }
  }

  boundsOf(box) {
    const bounds = [Infinity, Infinity, -Infinity, -Infinity];
    for (let corner = 0; corner < 8; corner += 1) {
      const point = this.project(box[corner & 1 ? 3 : 0], box[corner & 2 ? 4 : 1], box[corner & 4 ? 5 : 2]);
      if (!point) return null;
      bounds[0] = Math.min(bounds[0], point[0]);
      bounds[1] = Math.min(bounds[1], point[1]);
      bounds[2] = Math.max(bounds[2], point[0]);
      bounds[3] = Math.max(bounds[3], point[1]);
    }
    return bounds;
  }

  // Moves the target so that what is seen slides by pixels the other way.
  slide(sx, sy) {
    this.target = this.target.map((value, axis) => value + (sx * this.right[axis] - sy * this.up[axis]) / this.scale);
  }

  // Comes closer, holding the point under a pixel.
  zoom(factor, sx, sy) {
    const [u, v] = [sx - this.width / 2, sy - this.height / 2];
    const scale = Math.min(400, Math.max(0.05, this.scale * factor));
    const k = 1 - this.scale / scale;
    this.slide(u * k, v * k);
    this.scale = scale;
    this.settle();
  }
}
