// Parts that the job and the fits share: what is refused or doubted, and the choice of a machine.

import { make, mark } from "./elements.js";

const REMEMBERED = "machine";

const weighed = (weight) => (each) =>
  make(
    "div",
    { class: `told ${weight}` },
    mark(weight),
    make("p", {}, make("span", { class: "spoken" }, weight === "wrong" ? "Wrong: " : "Doubtful: "), [each.key, each.found ?? each.message].filter(Boolean).join(": "), each.allowed ? ` (${each.allowed})` : ""),
    each.hint ? make("p", { class: "hint" }, each.hint) : null,
  );
export const problem = weighed("wrong");
export const doubt = weighed("doubtful");

// The machines that there are, the maker's own first; the one that was chosen last is chosen again.
export const machineChoice = (machines, id, changed) => {
  const remembered = sessionStorage.getItem(REMEMBERED);
  const option = (each) => make("option", { value: each.name, disabled: each.wrong }, each.wrong ? `${each.name} (has mistakes)` : `${each.title} · ${each.name}`);
  const own = machines.filter((each) => each.own).map(option);
  const others = machines.filter((each) => !each.own).map(option);
  const groups = own.length ? [make("optgroup", { label: "Your own" }, own), make("optgroup", { label: "That come along" }, others)] : others;
  const select = make("select", { id }, groups);
  if (machines.some((each) => each.name === remembered && !each.wrong)) select.value = remembered;
  select.addEventListener("change", () => {
    sessionStorage.setItem(REMEMBERED, select.value);
    changed();
  });
  return select;
};
