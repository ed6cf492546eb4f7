// Fits that the notebook knows, offered where a fit is typed: found before on this wood, by which cutter, with what.

import { CannotBe, tell } from "./asking.js";
import { make } from "./elements.js";

const signed = (mm) => `${mm >= 0 ? "+" : "−"}${Math.abs(mm).toFixed(3)} mm`;

const woodOf = (board) => {
  const section = (board.view.tickets ?? []).flatMap((ticket) => ticket.sections).find((each) => each.table === "board");
  return section?.rows[0]?.fields.find((field) => field.key === "wood")?.typed ?? "";
};

export const offerKnown = async (board, fields) => {
  const of = (field, note) => String(field.held.place[0]) === note.table && field.held.key === note.key;
  const fits = fields.filter((field) => field.held.key === "fit" || field.held.key === "gap");
  if (!fits.length) return;
  let told;
  try {
    told = await tell("/api/fits-known", { wood: woodOf(board), unit: board.view.unit });
  } catch (fault) {
    if (!(fault instanceof CannotBe)) throw fault;
    return; // what cannot be asked is told by whatever is done next
  }
  for (const field of fits) {
    const take = (note) => () => board.edit([{ at: field.held.place, typed: note.typed }]);
    const lines = told.known.filter((note) => of(field, note)).map((note) => make("p", { class: "known" }, `Found before with ${note.cutter}${note.with ? `, ${note.with}` : ""}: `, make("button", { type: "button", onclick: take(note) }, `use ${signed(note.fit_mm)}`)));
    if (lines.length) field.element.append(make("div", { class: "knowns" }, lines));
  }
};
