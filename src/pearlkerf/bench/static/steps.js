// The texts that were, for undo and redo: one for each thing that is done.

const ONE_STEP_MS = 1200; // typing in one place, with no longer rests, is one step
const MOST_STEPS = 500;

export class Steps {
  constructor() {
    this.done = [];
    this.undone = [];
    this.last = { place: "", at: 0 };
  }

  // Remember a text before it becomes the next one.
  remember(place, text, next) {
    if (next === text) return;
    const now = performance.now();
    const same = place && place === this.last.place && now - this.last.at < ONE_STEP_MS;
    this.last = { place, at: now };
    if (same) return;
    this.done.push(text);
    if (this.done.length > MOST_STEPS) this.done.shift();
    this.undone = [];
  }

  undo(text) {
    return this.over(this.done, this.undone, text);
  }

  redo(text) {
    return this.over(this.undone, this.done, text);
  }

  // Give the last text of one list, the present one going into the other; again() puts both back.
  over(from, to, text) {
    if (!from.length) return null;
    this.last.place = "";
    to.push(text);
    const gone = from.pop();
    return { text: gone, again: () => from.push(gone) && to.pop() };
  }
}
