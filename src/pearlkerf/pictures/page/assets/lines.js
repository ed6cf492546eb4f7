// The tip's path as clean lines.  Rapids are dashed and feeds are drawn through, so that they differ without colour.
//
// What is done is drawn once and only added to while the view stands still; a new view draws all anew.
// Pieces that fall outside the picture, or together on less than a pixel, are passed over.

import { RAPID } from "./track.js";

const AT_ONCE = 1200; // pieces to a stroke: long paths cost more than their length
export const CASED = 15000; // up to so many pieces a dark casing is drawn under the lines
const LEAST_PIXELS = 0.6;
const LEAST_PIXELS_OF_MANY = 1.5;

export class Lines {
  constructor(canvas) {
    this.canvas = canvas;
    this.context = canvas.getContext("2d");
  }

  clear(camera, ratio) {
    const width = Math.round(camera.width * ratio);
    const height = Math.round(camera.height * ratio);
    if (this.canvas.width !== width || this.canvas.height !== height) {
      this.canvas.width = width;
      this.canvas.height = height;
    }
    this.context.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.context.clearRect(0, 0, camera.width, camera.height);
  }

  // All pieces ``from`` to ``to``, of which those before ``done`` are done.
  drawAll(track, camera, span, done, ink) {
    const [from, to] = span;
    const cased = to - from <= CASED;
    const middle = Math.min(to, Math.max(from, done));
    this.strokes(track, camera, [middle, to], [{ rapid: true, dash: [5, 4], colour: ink.later, width: 1 }, { rapid: false, colour: ink.later, width: 1 }]);
    this.addDone(track, camera, [from, middle], ink, cased);
  }

  addDone(track, camera, span, ink, cased) {
    const styles = [];
    if (cased) {
      styles.push({ rapid: true, dash: [5, 4], colour: ink.casing, width: 3 });
      styles.push({ rapid: false, colour: ink.casing, width: 3.4 });
    }
    styles.push({ rapid: true, dash: [5, 4], colour: ink.rapid, width: cased ? 1.5 : 1 });
    styles.push({ rapid: false, colour: ink.feed, width: cased ? 1.6 : 1 });
    this.strokes(track, camera, span, styles);
  }

  strokes(track, camera, span, styles) {
    if (span[1] <= span[0]) return;
    for (const style of styles) {
      this.context.strokeStyle = style.colour;
      this.context.lineWidth = style.width;
      this.context.lineJoin = style.width > 1 ? "round" : "miter";
      this.context.setLineDash(style.dash || []);
      this.stroke(track, camera, span, style.rapid);
    }
    this.context.setLineDash([]);
  }

  stroke(track, camera, [from, to], rapids) {
    const { ends, owner } = track.pieces;
    const { context } = this;
    const place = projector(camera);
    const least = to - from > CASED ? LEAST_PIXELS_OF_MANY : LEAST_PIXELS;
    let [open, count] = [false, 0];
    let [lastX, lastY, drawnX, drawnY] = [0, 0, 0, 0];
    context.beginPath();
    for (let piece = from; piece < to; piece += 1) {
      if ((track.flags[owner[piece]] & 3) === RAPID !== rapids) {
        if (open) context.lineTo(lastX, lastY);
        open = false;
        continue;
      }
      const at = 6 * piece;
      if (!open && !place(ends[at], ends[at + 1], ends[at + 2])) continue;
      const [fromX, fromY] = open ? [lastX, lastY] : [place.x, place.y];
      if (!place(ends[at + 3], ends[at + 4], ends[at + 5]) || outside(camera, fromX, fromY, place.x, place.y)) {
        if (open) context.lineTo(lastX, lastY);
        open = false;
        continue;
      }
      if (!open) {
        context.moveTo(fromX, fromY);
        [drawnX, drawnY, open] = [fromX, fromY, true];
      }
      [lastX, lastY] = [place.x, place.y];
      if (Math.abs(lastX - drawnX) + Math.abs(lastY - drawnY) < least) continue;
      context.lineTo(lastX, lastY);
      [drawnX, drawnY, count] = [lastX, lastY, count + 1];
      if (count % AT_ONCE === 0) {
        context.stroke();
        context.beginPath();
        context.moveTo(lastX, lastY);
      }
    }
    if (open) context.lineTo(lastX, lastY);
    context.stroke();
  }
}

// Projection without a new array for every point: sets x and y of the function itself, false behind the eye.
export const projector = (camera) => {
  const { right, up, away, target, scale, focal, distance, perspective } = camera;
  const [cx, cy] = [camera.width / 2, camera.height / 2];
  const [tx, ty, tz] = target;
  const place = (x, y, z) => {
    const [px, py, pz] = [x - tx, y - ty, z - tz];
    let k = scale;
    if (perspective) {
      const far = distance + px * away[0] + py * away[1] + pz * away[2];
      if (far < 0.05 * distance) return false;
      k = focal / far;
    }
    place.x = cx + k * (px * right[0] + py * right[1] + pz * right[2]);
    place.y = cy - k * (px * up[0] + py * up[1] + pz * up[2]);
    return true;
  };
  return place;
};

const outside = (camera, ax, ay, bx, by) =>
  (ax < -9 && bx < -9) || (ay < -9 && by < -9) || (ax > camera.width + 9 && bx > camera.width + 9) || (ay > camera.height + 9 && by > camera.height + 9);
