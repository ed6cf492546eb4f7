// What is told of a board: at a field, and all of it in one list.

import { make, mark } from "./elements.js";

// One thing that is told, with what is allowed, how to mend it, and the mends that are a click.
export const told = (each, board) =>
  make(
    "div",
    { class: `told ${each.weight}`, data: { key: each.key } },
    mark(each.weight),
    make("p", {}, make("span", { class: "spoken" }, each.weight === "wrong" ? "Wrong: " : "Doubtful: "), each.found, each.allowed ? make("span", { class: "allowed" }, ` (${each.allowed})`) : null),
    each.hint ? make("p", { class: "hint" }, each.hint) : null,
    each.mends.length ? make("p", { class: "mends" }, each.mends.map((mend) => make("button", { type: "button", onclick: () => board.edit(mend.edits) }, mend.label))) : null,
  );

export const allTold = (view) => [
  ...view.other,
  ...(view.tickets ?? []).flatMap((ticket) => ticket.sections.flatMap((section) => [...section.told, ...section.rows.flatMap((row) => [...row.told, ...row.fields.flatMap((field) => field.told)])])),
];

export const toldList = (place, board) => {
  const all = allTold(board.view).sort((one, other) => (one.weight === other.weight ? 0 : one.weight === "wrong" ? -1 : 1));
  const open = (each) => make("button", { type: "button", class: "where", onclick: () => board.open(each.key.split(".")) }, each.key.replaceAll("_", " ").replaceAll(".", " · "));
  const list = all.map((each) => make("li", {}, each.key && board.view.tickets ? open(each) : null, told(each, board)));
  place.replaceChildren(make("h2", {}, "What is told"), list.length ? make("ul", {}, list) : make("p", { class: "soft" }, "Nothing is wrong, and nothing is doubtful."));
};
