// What a page holds of the last view: tickets and drawings by their digests, so that they are not sent twice.

export const DRAWN = ["plan", "edge", "section"];

// Put the parts of a view in their places: those that came with it, and those that were held when it was asked for.
export const whole = (view, held) => {
  const kept = new Map();
  const part = (digest) => {
    kept.set(digest, view.parts[digest] ?? held.get(digest));
    return kept.get(digest);
  };
  const tickets = view.tickets && view.tickets.map(part);
  const drawings = view.drawings && { ...view.drawings, ...Object.fromEntries(DRAWN.map((name) => [name, part(view.drawings[name])])) };
  return { view: { ...view, tickets, drawings }, kept };
};
