// Parts that the job, the shell and the fits share: what is refused or doubted, the choice of a machine, what was made.

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

// The name of a profile of the folder, as its own page has it.
export const profileOf = (machine) => machine.name.replace("./", "").replace(".toml", "");

// Where a file of a job is, and a button that shows it.
export const jobFile = (name, kind, file) => `/job/${encodeURIComponent(name)}/${kind}/${encodeURIComponent(file)}`;
export const shown = (href, called) => make("a", { class: "button", href, target: "_blank", rel: "noopener" }, called);

// What was made, and for which machine; with a doubt where the board is another by now.
export const toRun = (held) => [
  make("h2", { class: "run-title" }, "To run, in this order"),
  make("p", { class: "soft" }, `In ${held.folder}, for ${held.machine || "a machine whose profile has changed since"}.`),
  held.made === "changed" ? make("div", { class: "told doubtful" }, mark("doubtful"), make("p", {}, "The board was changed since these programs were made. Make them again before you cut.")) : null,
];

export const forPhone = (name, kind, held) => make("a", { class: "button", href: `/phone/${encodeURIComponent(name)}/${kind}`, download: `${held.folder}.html`, target: "_blank" }, "One file for the phone");

// The dry run, read once it is unfolded.
export const dryRun = (name, kind) => {
  const frame = make("iframe", { title: "The dry run", class: "dry-run", sandbox: "allow-scripts", referrerpolicy: "no-referrer" });
  const look = make("details", { class: "look", ontoggle: () => look.open && !frame.src && (frame.src = jobFile(name, kind, "dry-run.html")) }, make("summary", {}, "Look: the dry run"), frame);
  return look;
};
