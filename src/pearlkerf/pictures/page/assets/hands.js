// The keyboard: single keys run the page, arrow keys on the picture turn or move it.

import { VIEWS } from "./camera.js";
import { find } from "./elements.js";
import { SHOWN } from "./picture.js";

const TURN_STEP = 14; // pixels of dragging that one arrow key stands for

export class Keys {
  constructor(viewer) {
    this.viewer = viewer;
    document.addEventListener("keydown", (event) => this.onKey(event));
  }

  onKey(event) {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    const inPicture = event.target === find("canvases");
    if (inPicture && this.onPictureKey(event)) return;
    const tag = event.target.tagName;
    const onSlider = event.target === find("time");
    if (tag === "SELECT" || tag === "TEXTAREA" || (tag === "INPUT" && !onSlider)) return;
    if (!onSlider && !inPicture && !find("single-keys").checked) return;
    if (event.key === " " && (tag === "BUTTON" || tag === "A")) return;
    const does = this.keyDoes(event);
    if (!does) return;
    event.preventDefault();
    does();
  }

  keyDoes(event) {
    const { viewer } = this;
    const { key, shiftKey } = event;
    const views = Object.keys(VIEWS);
    if (key >= "1" && key <= "4") return () => viewer.setView(views[Number(key) - 1]);
    return {
      " ": () => viewer.toggle(),
      ArrowLeft: () => (shiftKey ? viewer.stepCut(-1) : viewer.step(-1)),
      ArrowRight: () => (shiftKey ? viewer.stepCut(1) : viewer.step(1)),
      Home: () => viewer.jump(0),
      End: () => viewer.jump(viewer.track.total),
      "+": () => viewer.come(1.5),
      "=": () => viewer.come(1.5),
      "-": () => viewer.come(1 / 1.5),
      0: () => viewer.showWhole(),
      f: () => viewer.toggleFollow(),
      F: () => viewer.toggleFollow(),
      l: () => viewer.show(SHOWN[(SHOWN.indexOf(viewer.picture.shows) + 1) % SHOWN.length]),
      L: () => viewer.show(SHOWN[(SHOWN.indexOf(viewer.picture.shows) + 1) % SHOWN.length]),
    }[key];
  }

  onPictureKey(event) {
    const { viewer } = this;
    const by = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!by || event.shiftKey) return false;
    event.preventDefault();
    viewer.picture.drag(by[0] * TURN_STEP, by[1] * TURN_STEP, false);
    viewer.redraw();
    return true;
  }
}

// Mouse and touch on the picture: one hand turns or moves, two come closer, a tap goes to what lies there.
export class Hands {
  constructor(box, viewer) {
    Object.assign(this, { box, viewer });
    this.down = new Map();
    box.addEventListener("pointerdown", (event) => this.onDown(event));
    box.addEventListener("pointermove", (event) => this.onMove(event));
    box.addEventListener("pointerup", (event) => this.onUp(event));
    box.addEventListener("pointercancel", (event) => this.down.delete(event.pointerId));
    box.addEventListener("wheel", (event) => this.onWheel(event), { passive: false });
    box.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  onDown(event) {
    this.box.focus({ preventScroll: true });
    this.box.setPointerCapture(event.pointerId);
    this.down.set(event.pointerId, [event.clientX, event.clientY]);
    this.moved = this.down.size > 1 ? Infinity : 0;
  }

  onMove(event) {
    const last = this.down.get(event.pointerId);
    if (!last) return;
    const [dx, dy] = [event.clientX - last[0], event.clientY - last[1]];
    const before = this.spread();
    this.down.set(event.pointerId, [event.clientX, event.clientY]);
    this.moved += Math.abs(dx) + Math.abs(dy);
    if (this.moved < 5) return;
    const { picture } = this.viewer;
    if (this.down.size > 1) {
      const { left, top } = this.box.getBoundingClientRect();
      const after = this.spread();
      if (before.apart > 0) picture.zoom(after.apart / before.apart, after.x - left, after.y - top);
      picture.drag(after.x - before.x, after.y - before.y, true);
    } else {
      picture.drag(dx, dy, event.shiftKey || event.buttons > 1);
    }
    this.viewer.redraw();
  }

  onUp(event) {
    if (!this.down.delete(event.pointerId) || this.moved >= 5) return;
    const { left, top } = this.box.getBoundingClientRect();
    const found = this.viewer.picture.pick(this.viewer.now, event.clientX - left, event.clientY - top);
    if (!found) return;
    if (found.feature !== undefined) this.viewer.goToFeature(found.feature);
    else this.viewer.goToMotion(found.row);
  }

  // The wheel scrolls the page until the picture is taken hold of, by a click or by the Tab key.
  onWheel(event) {
    if (document.activeElement !== this.box && !event.ctrlKey) return;
    event.preventDefault();
    const { left, top } = this.box.getBoundingClientRect();
    this.viewer.picture.zoom(Math.exp(-event.deltaY * 0.0016), event.clientX - left, event.clientY - top);
    this.viewer.redraw();
  }

  spread() {
    const places = [...this.down.values()];
    const x = places.reduce((sum, place) => sum + place[0], 0) / places.length;
    const y = places.reduce((sum, place) => sum + place[1], 0) / places.length;
    return { x, y, apart: places.length > 1 ? Math.hypot(places[0][0] - places[1][0], places[0][1] - places[1][1]) : 0 };
  }
}
