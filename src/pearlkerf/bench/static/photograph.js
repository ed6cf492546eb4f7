// The photograph of a blank: taken in and made small enough in the browser, its four corners marked by hand or key.

import { base64, CannotBe, tell } from "./asking.js";
import { make, say } from "./elements.js";
import { svg } from "./outlines.js";

const CORNERS = ["low left", "low right", "high right", "high left"];
const SIDES_PX = [3000, 2400, 1800, 1200];
const QUALITIES = [0.92, 0.8];
const MOST_BYTES = 2_800_000; // what the bench takes of a photograph, and a little less
const MOST_FILE_BYTES = 150_000_000;
const HANDLE_PX = 22;
const LOUPE_PX = 150;
const LOUPE_TIMES = 3;
const UNREADABLE = "This browser cannot read that as a picture. Save it as JPEG or PNG, and take that in.";

// A picture as the browser reads it, drawn again as a JPEG that the bench takes; nothing else of the file goes on.
const shrunk = async (file) => {
  if (file.size > MOST_FILE_BYTES) throw new CannotBe("That file is larger than any photograph.", 0);
  let picture;
  try {
    picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    throw new CannotBe(UNREADABLE, 0);
  }
  for (const side of SIDES_PX) {
    const by = Math.min(1, side / Math.max(picture.width, picture.height));
    const canvas = make("canvas", { width: Math.round(picture.width * by), height: Math.round(picture.height * by) });
    const paper = canvas.getContext("2d");
    paper.imageSmoothingQuality = "high";
    paper.fillStyle = "white";
    paper.fillRect(0, 0, canvas.width, canvas.height);
    paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
    for (const quality of QUALITIES) {
      const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
      if (blob && blob.size <= MOST_BYTES) return blob;
    }
  }
  throw new CannotBe(UNREADABLE, 0);
};

export class Photograph {
  constructor(shell) {
    this.shell = shell;
    this.input = make("input", { type: "file", id: "photograph", accept: "image/*", onchange: () => this.chosen() });
    this.called = make("label", { htmlFor: "photograph", class: "button" });
    this.again = make("button", { type: "button", onclick: () => this.mark() }, "Mark its corners again");
    this.away = make("button", { type: "button", class: "quiet", onclick: () => this.remove() }, "Remove it");
    this.told = make("p", { class: "soft", role: "status" });
    this.tools = make("span", { class: "photograph-tools" }, this.input, this.called, this.again, this.away);
    this.marking = make("div", { class: "marking", hidden: true });
    for (const kind of ["dragover", "drop"]) shell.sheet.element.addEventListener(kind, (event) => this.dropped(event));
  }

  show() {
    const { blank } = this.shell;
    const held = blank?.photograph;
    this.tools.hidden = !blank;
    this.called.textContent = held ? "Another photograph" : "Take in a photograph of this blank";
    this.again.hidden = !held;
    this.away.hidden = !held && !blank?.no_photograph;
    this.told.textContent = blank?.no_photograph ?? "";
    const key = `${blank?.blank} ${held?.sha256}`;
    if (this.shown !== key) this.marking.hidden = true;
    if (held && !held.corners.length && this.shown !== key) this.mark();
    this.shown = key;
  }

  dropped(event) {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (event.type === "drop" && file) this.takeIn(file);
  }

  chosen() {
    const [file] = this.input.files;
    if (file) this.takeIn(file);
    this.input.value = "";
  }

  async takeIn(file) {
    this.told.textContent = "taking it in";
    try {
      const picture = await base64(await shrunk(file));
      await tell("/api/photograph", { name: this.shell.name, blank: this.shell.blank.blank, picture });
      await this.shell.look();
      say("the photograph is kept; mark the blank's four corners in it");
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.told.textContent = fault.message;
    }
  }

  async remove() {
    try {
      await tell("/api/photograph-remove", { name: this.shell.name, blank: this.shell.blank.blank });
      await this.shell.look();
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.told.textContent = fault.message;
    }
  }

  // Begin to mark the corners: those that are known, or four that wait to be put right.
  mark() {
    const { size_px: size, corners } = this.shell.blank.photograph;
    const [wide, tall] = size;
    this.size = size;
    this.corners = corners.length ? corners.map((each) => [...each]) : [[0.15, 0.85], [0.85, 0.85], [0.85, 0.15], [0.15, 0.15]].map(([x, y]) => [x * wide, y * tall]);
    this.next = corners.length; // those that are not known are asked for from the first on
    this.image = make("img", { src: this.shell.photographOf(this.shell.blank), alt: "The photograph of the blank", draggable: false });
    this.over = svg("svg", { viewBox: `0 0 ${wide} ${tall}`, class: "corners", role: "group", "aria-label": "The corners of the blank in the photograph" });
    this.bed = make("div", { class: "marking-bed" }, this.image, this.over, (this.loupe = make("div", { class: "loupe", hidden: true, "aria-hidden": "true" }, (this.near = make("img", { src: this.image.src, alt: "" })))));
    this.bed.style.aspectRatio = `${wide} / ${tall}`;
    this.bed.style.width = `min(100%, ${(0.72 * wide) / tall * 100}vh)`;
    this.words = make("p", { class: "called", role: "status" });
    this.wrong = make("p", { class: "wrong", role: "status" });
    this.done = make("button", { type: "button", class: "main", onclick: () => this.keep() }, "These are its corners");
    this.marking.replaceChildren(this.words, make("p", { class: "soft" }, "Touch them in this order, as the blank lies on the machine, the side up that shows. Drag one to put it right; with the keyboard, arrows move it by a pixel, with Shift by ten."), this.bed, this.wrong, make("p", { class: "buttons" }, this.done, make("button", { type: "button", onclick: () => this.leave() }, "Leave them as they were")));
    this.marking.hidden = false;
    this.over.addEventListener("pointerdown", (event) => this.taken(event));
    this.over.addEventListener("pointermove", (event) => this.grip !== undefined && this.move(this.grip, this.at(event)));
    for (const end of ["pointerup", "pointercancel"]) this.over.addEventListener(end, () => this.letGo());
    this.over.addEventListener("keydown", (event) => this.key(event));
    this.image.addEventListener("load", () => this.draw());
    addEventListener("resize", () => this.draw(), { signal: (this.listening = new AbortController()).signal });
    this.draw();
    this.lay();
    this.bed.scrollIntoView({ block: "nearest" });
  }

  at(event) {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.over.getScreenCTM().inverse());
    return [x, y];
  }

  draw() {
    const px = (this.over.clientWidth || 800) / this.size[0];
    const hand = document.activeElement?.dataset?.corner;
    this.over.replaceChildren(
      svg("polygon", { points: this.corners.map((each) => each.join(" ")).join(" ") }),
      ...this.corners.map(([x, y], index) =>
        svg(
          "g",
          { class: `corner ${index < this.next ? "set" : "waits"}`, "data-corner": index, tabindex: 0, role: "button", "aria-label": `${CORNERS[index]} corner, at ${Math.round(x)}, ${Math.round(y)} pixels`, transform: `translate(${x} ${y}) scale(${1 / px})` },
          svg("circle", { r: HANDLE_PX }),
          svg("path", { d: "M-32 0H-5M5 0H32M0-32V-5M0 5V32" }),
          lettered(index),
        ),
      ),
    );
    if (hand !== undefined) this.over.querySelector(`[data-corner="${hand}"]`)?.focus({ preventScroll: true });
    this.words.textContent = this.next < CORNERS.length ? `Where is the ${CORNERS[this.next]} corner? (${this.next + 1} of 4)` : "All four corners are marked.";
  }

  taken(event) {
    if (event.button > 0) return;
    event.preventDefault();
    const corner = event.target.closest("[data-corner]");
    const set = corner && Number(corner.dataset.corner) < this.next;
    // the next one is put where the hand is, unless it is on one that is put already
    this.grip = set ? Number(corner.dataset.corner) : this.next < CORNERS.length ? this.next++ : undefined;
    if (this.grip === undefined) return;
    this.over.setPointerCapture(event.pointerId);
    const [x, y] = this.at(event);
    const [wasX, wasY] = this.corners[this.grip];
    this.off = set ? [wasX - x, wasY - y] : [0, 0];
    this.move(this.grip, [x, y]);
    this.over.querySelector(`[data-corner="${this.grip}"]`)?.focus({ preventScroll: true });
  }

  letGo() {
    this.grip = undefined;
    this.loupe.hidden = true;
  }

  move(index, [x, y], off = this.off) {
    this.corners[index] = [x + off[0], y + off[1]].map((each, side) => Math.min(this.size[side], Math.max(0, each)));
    this.draw();
    this.look(index);
    this.lay();
  }

  // What lies under the finger, larger, in the corner of the picture that is farther from it.
  look(index) {
    const [x, y] = this.corners[index];
    const px = this.over.clientWidth / this.size[0];
    this.loupe.hidden = false;
    this.loupe.classList.toggle("left", x > this.size[0] / 2);
    this.near.style.width = `${this.size[0] * px * LOUPE_TIMES}px`;
    this.near.style.transform = `translate(${LOUPE_PX / 2 - x * px * LOUPE_TIMES}px, ${LOUPE_PX / 2 - y * px * LOUPE_TIMES}px)`;
  }

  key(event) {
    const corner = event.target.closest("[data-corner]");
    const by = event.shiftKey ? 10 : 1;
    const moves = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
    if (!corner || !moves[event.key]) return;
    event.preventDefault();
    const index = Number(corner.dataset.corner);
    this.next = Math.max(this.next, index + 1);
    this.move(index, [this.corners[index][0] + moves[event.key][0], this.corners[index][1] + moves[event.key][1]], [0, 0]);
  }

  // Lay the photograph on the blank as it would lie, while corners move; what is asked last counts.
  async lay() {
    if (this.laying) return void (this.later = true);
    this.laying = true;
    do {
      this.later = false;
      const { blank } = this.shell;
      try {
        const { matrix } = await tell("/api/photograph-laid", { corners: this.corners, size_px: this.size, blank_mm: [blank.length_mm, blank.width_mm] });
        this.wrong.textContent = "";
        if (!this.marking.hidden) this.shell.sheet.photograph(matrix);
      } catch (fault) {
        if (!(fault instanceof CannotBe)) throw fault;
        this.wrong.textContent = fault.message;
      }
      this.done.disabled = Boolean(this.wrong.textContent);
    } while (this.later);
    this.laying = false;
  }

  async keep() {
    try {
      await tell("/api/photograph-corners", { name: this.shell.name, blank: this.shell.blank.blank, corners: this.corners });
      this.shut();
      await this.shell.look();
      say("the corners are kept");
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      this.wrong.textContent = fault.message;
    }
  }

  leave() {
    this.shut();
    this.shell.sheet.show();
  }

  shut() {
    this.listening?.abort();
    this.marking.hidden = true;
    this.again.focus();
  }
}

const lettered = (index) => {
  const text = svg("text", { y: -HANDLE_PX - 8 });
  text.textContent = CORNERS[index];
  return text;
};
