// One blank with its photograph, and the pieces on it: dragged, turned, moved by keys; told by the bench what is wrong.
//
//   hand or key ─moves─> tried ─"/api/shell-where"─> right or wrong, while it moves
//                          └─ let go ─> shell.place ─> the board's text

import { CannotBe, tell } from "./asking.js";
import { make } from "./elements.js";
import { laidOut, svg } from "./outlines.js";

const MARGIN_SHARE = 0.05; // of a blank's longer side, seen round it
const DRAG_PX = 3; // a hand that moves less has only touched
const REST_MS = 500; // keys and the wheel that rest so long have let go
const STEP_MM = 0.1;
const STRIDE_MM = 1;
const TURN_DEG = 15;
const NUDGE_DEG = 1;
const KNOB_PX = 34;
const TALLEST = 0.72; // of the window

const rounded = (value, decimals) => Number(value.toFixed(decimals));
const round = (deg) => ((rounded(deg, 1) % 360) + 360) % 360;

export class Sheet {
  constructor(shell) {
    this.shell = shell;
    this.image = make("img", { class: "photograph", alt: "", draggable: false, hidden: true });
    this.drawn = svg("svg", { class: "laid", role: "group", "aria-label": "The blank, and the pieces on it" });
    this.bed = make("div", { class: "bed" }, this.image, this.drawn);
    this.element = make("div", { class: "bed-room" }, this.bed);
    this.tried = null;
    this.drawn.addEventListener("pointerdown", (event) => this.taken(event));
    this.drawn.addEventListener("pointermove", (event) => this.moved(event));
    this.drawn.addEventListener("pointerup", (event) => this.letGo(event));
    this.drawn.addEventListener("pointercancel", () => this.back());
    this.drawn.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
    this.drawn.addEventListener("keydown", (event) => this.key(event));
    this.drawn.addEventListener("focusin", (event) => this.focused(event));
  }

  get scale() {
    return this.bed.clientWidth / (this.blank.length_mm + 2 * this.margin);
  }

  show() {
    this.blank = this.shell.blank;
    this.element.hidden = !this.blank;
    if (!this.blank) return;
    const { length_mm: long, width_mm: wide } = this.blank;
    this.margin = MARGIN_SHARE * Math.max(long, wide);
    this.sized();
    this.drawn.setAttribute("viewBox", `${-this.margin} ${-this.margin} ${long + 2 * this.margin} ${wide + 2 * this.margin}`);
    const had = document.activeElement?.dataset?.piece;
    this.drawn.replaceChildren(...laidOut(this.shell.view, this.blank, this.scale, this.shell.held));
    if (had) this.group(had)?.focus({ preventScroll: true });
    this.drawKnob();
    this.photograph();
    // what a hand or the keys have not let go yet goes on, whatever is drawn anew
    if (this.tried && this.group(this.tried.piece)) this.try(this.tried);
    else this.tried = null;
  }

  // As wide as the page lets it be, and no taller than a window shows at once.
  sized() {
    const [wide, tall] = [this.blank.length_mm + 2 * this.margin, this.blank.width_mm + 2 * this.margin];
    const most = Math.min(this.element.clientWidth || 800, (innerHeight * TALLEST * wide) / tall);
    this.bed.style.width = `${most}px`;
    this.bed.style.height = `${(most * tall) / wide}px`;
  }

  photograph(matrix = this.blank.photograph?.matrix) {
    const held = this.blank.photograph;
    this.image.hidden = !held || !matrix;
    this.bed.classList.toggle("bare", this.image.hidden);
    if (this.image.hidden) return;
    const source = this.shell.photographOf(this.blank);
    if (this.image.getAttribute("src") !== source) this.image.src = source;
    [this.image.width, this.image.height] = held.size_px;
    const off = this.margin * this.scale;
    this.image.style.transform = `translate(${off}px, ${off}px) scale(${this.scale}) matrix3d(${matrix.join(",")})`;
  }

  group(name) {
    return this.drawn.querySelector(`.piece[data-piece="${CSS.escape(name)}"]`);
  }

  // Where a pointer is on the blank, mm from its low left corner.
  at(event) {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.drawn.getScreenCTM().inverse());
    return [x, this.blank.width_mm - y];
  }

  taken(event) {
    if (event.button > 0) return;
    const knob = event.target.closest(".knob");
    const name = knob ? this.shell.held : event.target.closest(".piece")?.dataset.piece;
    if (this.rest) this.keep();
    this.shell.hold(name ?? "");
    if (!name) return;
    event.preventDefault();
    this.drawn.setPointerCapture(event.pointerId);
    this.group(name)?.focus({ preventScroll: true });
    this.grip = { name, from: this.at(event), client: [event.clientX, event.clientY], place: { ...this.shell.laid(name) }, turning: Boolean(knob), moved: false };
  }

  moved(event) {
    const { grip } = this;
    if (!grip) return;
    grip.moved ||= Math.hypot(event.clientX - grip.client[0], event.clientY - grip.client[1]) > DRAG_PX;
    if (!grip.moved) return;
    const [x, y] = this.at(event);
    const { at, turn } = grip.place;
    if (grip.turning) this.try({ ...grip.place, turn: this.allowed(turn + this.angle(x, y, at) - this.angle(...grip.from, at)) });
    else this.try({ ...grip.place, at: [at[0] + x - grip.from[0], at[1] + y - grip.from[1]] });
  }

  angle(x, y, [middleX, middleY]) {
    return (Math.atan2(y - middleY, x - middleX) * 180) / Math.PI;
  }

  // The nearest turn that the blank's figure lets a piece have.
  allowed(turn) {
    const { turns } = this.blank;
    if (!turns) return round(turn);
    const off = (one) => Math.abs(((round(turn) - one + 540) % 360) - 180);
    return turns.reduce((best, one) => (off(one) < off(best) ? one : best));
  }

  letGo() {
    const { grip } = this;
    this.grip = null;
    if (grip?.moved) this.keep();
  }

  // Show a piece where it is tried, and ask whether it may lie there; what is asked last counts.
  try(place) {
    this.tried = { ...place, at: place.at.map((mm) => rounded(mm, 2)), blank: this.blank.blank };
    const group = this.group(place.piece);
    const [x, y] = this.tried.at;
    group.setAttribute("transform", `translate(${x} ${this.blank.width_mm - y}) rotate(${-this.tried.turn})`);
    group.querySelector("text").setAttribute("transform", `rotate(${this.tried.turn})`);
    group.classList.remove("packed");
    group.classList.add("tried");
    this.drawKnob();
    this.shell.head.saving();
    this.shell.inHand.follow(this.tried);
    this.ask();
  }

  get away() {
    const [x, y] = this.tried.at;
    return x < 0 || y < 0 || x > this.blank.length_mm || y > this.blank.width_mm;
  }

  async ask() {
    if (this.asking) return;
    this.asking = true;
    let asked;
    do {
      asked = this.tried;
      let wrong = "";
      if (this.away) wrong = "let go here, it is taken off the blank: it is packed then";
      else {
        try {
          ({ wrong } = await tell("/api/shell-where", { ...this.shell.asked, changes: [asked] }));
        } catch (fault) {
          if (!(fault instanceof CannotBe)) throw fault;
          wrong = fault.message;
        }
      }
      if (this.tried) this.say(wrong);
    } while (this.tried && this.tried !== asked);
    this.asking = false;
  }

  say(wrong) {
    this.group(this.tried.piece)?.classList.toggle("wrong", Boolean(wrong));
    this.shell.inHand.told(this.tried.piece, wrong);
  }

  keep() {
    clearTimeout(this.rest);
    this.rest = null;
    const tried = this.tried;
    if (!tried) return;
    const away = this.away;
    this.tried = null;
    this.shell.place([away ? { piece: tried.piece, blank: null } : tried]);
  }

  // Everything lies again as it did before the hand or the keys moved it.
  back() {
    this.grip = null;
    this.tried = null;
    clearTimeout(this.rest);
    this.rest = null;
    this.show();
    this.shell.inHand.show();
    this.shell.saveSoon();
  }

  keepSoon() {
    clearTimeout(this.rest);
    this.rest = setTimeout(() => this.keep(), REST_MS);
  }

  wheeled(event) {
    const name = event.target.closest(".piece")?.dataset.piece;
    if (!name || name !== this.shell.held || !event.deltaY) return;
    event.preventDefault();
    this.turn(-Math.sign(event.deltaY) * (event.shiftKey ? TURN_DEG : NUDGE_DEG));
  }

  turn(by) {
    const place = this.tried ?? this.shell.laid(this.shell.held);
    const { turns } = this.blank;
    const next = turns ? turns[(turns.indexOf(this.allowed(place.turn)) + Math.sign(by) + turns.length) % turns.length] : round(place.turn + by);
    this.try({ ...place, turn: next });
    this.keepSoon();
  }

  key(event) {
    const name = event.target.closest(".piece")?.dataset.piece;
    if (!name || event.ctrlKey || event.metaKey || event.altKey) return;
    const by = event.shiftKey ? STRIDE_MM : STEP_MM;
    const moves = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] };
    const turns = { r: TURN_DEG, R: -TURN_DEG, ",": NUDGE_DEG, ".": -NUDGE_DEG };
    const place = this.tried ?? this.shell.laid(name);
    if (moves[event.key]) {
      this.try({ ...place, at: [place.at[0] + moves[event.key][0], place.at[1] + moves[event.key][1]] });
      this.keepSoon();
    } else if (turns[event.key]) this.turn(turns[event.key]);
    else if (event.key === "Escape") this.back();
    else if (event.key === "Enter") this.shell.place([this.tried ?? place]);
    else if (event.key === "Delete" || event.key === "Backspace") this.shell.place([{ piece: name, blank: null }]);
    else return;
    event.preventDefault();
  }

  focused(event) {
    const name = event.target.closest(".piece")?.dataset.piece;
    if (name && !this.grip) this.shell.hold(name);
  }

  // The piece in hand lies over all others; these are moved, as it would lose the keys if it were.
  lift() {
    const held = this.shell.held && this.group(this.shell.held);
    while (held?.nextElementSibling) held.before(held.nextElementSibling);
  }

  // The piece in hand has a knob to turn it by, off its side.
  drawKnob() {
    this.drawn.querySelector(".knob")?.remove();
    this.lift();
    for (const each of this.drawn.querySelectorAll(".piece")) each.classList.toggle("held", each.dataset.piece === this.shell.held);
    const place = this.tried ?? this.shell.laid(this.shell.held);
    const piece = this.shell.view.pieces.find((each) => each.name === this.shell.held);
    const one = this.blank.turns?.length === 1;
    if (!place || !piece || one || String(place.blank) !== String(this.blank.blank)) return;
    const reach = Math.max(...piece.size_mm) / 2 + KNOB_PX / this.scale;
    const along = (place.turn * Math.PI) / 180;
    const [x, y] = [place.at[0], this.blank.width_mm - place.at[1]];
    const inside = (side, most) => Math.max(-this.margin, Math.min(most + this.margin, side));
    const [knobX, knobY] = [inside(x + reach * Math.cos(along), this.blank.length_mm), inside(y - reach * Math.sin(along), this.blank.width_mm)];
    this.drawn.append(svg("g", { class: "knob" }, svg("line", { x1: x, y1: y, x2: knobX, y2: knobY }), svg("circle", { cx: knobX, cy: knobY, r: 11 / this.scale }), svg("circle", { class: "grip", cx: knobX, cy: knobY, r: 22 / this.scale })));
  }
}
