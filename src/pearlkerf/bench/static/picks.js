// Two rows of pictures: how the board comes to the machine, and what the machine shall do.

import { drawing, make } from "./elements.js";

const PICTURES = {
  rough: '<path class="wood" d="M6 8H90V40H6Z"/><path class="dash" d="M12 14 84 10V38L12 34Z"/>',
  outline: '<path class="wood" d="M6 14 90 8V40L6 34Z"/>',
  flat: '<path class="wood" d="M12 14H84V34H12Z"/>',
  radiused: '<path class="wood" d="M12 20Q48 8 84 20V34H12Z"/>',
  unslotted: '<path class="wood" d="M6 14 90 8V40L6 34Z"/>',
  slotted: '<path class="wood" d="M6 14 90 8V40L6 34Z"/><path class="cut" d="M24 13V35M40 12V36M54 11V37M66 10V38M77 9V39"/>',
  bare: '<path class="wood" d="M12 14H84V34H12Z"/>',
  bound: '<path class="wood" d="M12 14H84V34H12Z"/><path class="strip" d="M12 14H20V34H12ZM76 14H84V34H76Z"/><path class="cut" d="M24 14V22H72V14"/>',
  "bound-after": '<path class="wood" d="M20 14H76V34H20Z"/><path class="strip" d="M4 14H12V34H4ZM84 14H92V34H84Z"/><path class="cut" d="M20 22H76"/><path class="line" d="M13 24H19M77 24H83"/>',
  slots: '<path class="wood" d="M6 14 90 8V40L6 34Z"/><path class="cut" d="M24 13V35M40 12V36M54 11V37M66 10V38M77 9V39"/>',
  "face-dots": '<path class="wood" d="M6 14 90 8V40L6 34Z"/><path class="shell" d="M33 24a3.5 3.5 0 1 1-7 0a3.5 3.5 0 1 1 7 0M57 24a3.5 3.5 0 1 1-7 0a3.5 3.5 0 1 1 7 0M78 24a3.5 3.5 0 1 1-7 0a3.5 3.5 0 1 1 7 0"/>',
  "side-dots": '<path class="wood" d="M6 17H90V31H6Z"/><path class="shell" d="M31 24a2 2 0 1 1-4 0a2 2 0 1 1 4 0M52 24a2 2 0 1 1-4 0a2 2 0 1 1 4 0M72 24a2 2 0 1 1-4 0a2 2 0 1 1 4 0"/>',
  trims: '<path class="wood" d="M4 8H92V40H4Z"/><path class="cut" d="M14 8V40M82 8V40"/>',
  inlays: '<path class="wood" d="M6 14 90 8V40L6 34Z"/><path class="shell" d="M48 15 58 24 48 33 38 24Z"/>',
};

const pictured = (name) => {
  const found = drawing(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 48" aria-hidden="true">${PICTURES[name] ?? PICTURES.inlays}</svg>`);
  found.classList.add("pick-picture");
  return found;
};

export const picks = (place, board) => {
  const { comes, does } = board.view;
  const shape = JSON.stringify([comes, does]);
  if (place.dataset.shape === shape) return;
  const hand = document.activeElement?.id;
  place.dataset.shape = shape;
  const edit = (each) => (event) => {
    if (each.edits.length) board.edit(each.edits);
    else if (each.name === "inlays") {
      event.target.checked = each.chosen;
      board.open(["inlay"]);
    }
  };
  const one = (each, name) => [
    make("input", { type: "radio", name, id: `pick-${each.name}`, checked: each.chosen, onchange: edit(each) }),
    make("label", { htmlFor: `pick-${each.name}` }, pictured(each.name), make("span", {}, each.called)),
  ];
  const any = (each) => [
    make("input", { type: "checkbox", id: `pick-${each.name}`, checked: each.chosen, onchange: edit(each) }),
    make("label", { htmlFor: `pick-${each.name}` }, pictured(each.name), make("span", {}, each.called)),
  ];
  place.replaceChildren(
    make("fieldset", { class: "picks" }, make("legend", {}, "How does the board come to the machine?"), comes.map((group, index) => make("div", { class: "pick-group", role: "radiogroup", "aria-label": group.map((each) => each.called).join(" or ") }, group.map((each) => one(each, `comes-${index}`))))),
    make("fieldset", { class: "picks" }, make("legend", {}, "What shall the machine do?"), make("div", { class: "pick-group loose" }, does.map(any))),
  );
  if (hand?.startsWith("pick-")) document.getElementById(hand)?.focus();
};
