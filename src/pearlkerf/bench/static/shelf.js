// The shelf: the boards of a folder, and a new one in three questions.

import { ask, CannotBe, tell } from "./asking.js";
import { counted, drawing, find, make, mark } from "./elements.js";

const MADE = { made: "made", changed: "changed since it was made", "": "" };

export const openShelf = async (go) => {
  const { folder, boards } = await ask("/api/boards");
  document.title = "The bench";
  find("head").replaceChildren(
    make("div", {}, make("p", { class: "kicker" }, "the bench"), make("h1", {}, boards.length ? "Boards" : "What are you building?")),
    make("p", {}, make("a", { href: "/machines" }, "machines")),
    make("p", { class: "place" }, folder),
  );
  const fresh = make("section", { class: "new", "aria-label": "A new board" });
  find("main").replaceChildren(
    ...(boards.length ? [make("ul", { class: "shelf" }, boards.map((board) => card(board, go)))] : []),
    fresh,
    byCommand("pearlkerf new my-board.toml"),
  );
  await firstQuestion(fresh, go, boards.length > 0);
  return () => {};
};

export const byCommand = (command) => make("p", { class: "by-command" }, "The same by command: ", make("code", {}, command));

const stateOf = (board) => {
  const said = { right: "right", doubtful: counted(board.doubtful, "doubt"), wrong: board.words ?? counted(board.wrong, "mistake") };
  return [said[board.state], MADE[board.made]].filter(Boolean).join(" · ");
};

const card = (board, go) =>
  make(
    "li",
    { class: "card ticket" },
    make(
      "a",
      { class: "board-link", href: `/board/${encodeURIComponent(board.name)}` },
      make("span", { class: "small-board", data: { wood: board.wood ?? "" } }, drawing(board.drawing)),
      make("span", { class: "called" }, board.title),
      make("span", { class: "file" }, `${board.name}.toml`),
      make("span", { class: `state ${board.state}` }, mark(board.state), stateOf(board)),
    ),
    make(
      "div",
      { class: "actions" },
      otherName("Copy", "copy", { name: board.name }, `${board.name} 2`, () => go("/")),
      otherName("Rename", "rename", { name: board.name }, board.name, () => go("/")),
    ),
  );

// A button that opens a line for another name.
export const otherName = (word, what, held, suggested, done) => {
  const told = make("p", { class: "told wrong", role: "alert", hidden: true });
  const line = make("input", { type: "text", value: suggested, "aria-label": `${word}: its name`, spellcheck: false });
  const send = async (event) => {
    event.preventDefault();
    try {
      done(await tell(`/api/${what}`, { ...held, to: line.value.trim() }));
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      told.replaceChildren(mark("wrong"), fault.message);
      told.hidden = false;
    }
  };
  const form = make("form", { onsubmit: send, hidden: true }, line, make("button", { type: "submit", class: "main" }, word), told);
  const toggle = () => {
    form.hidden = !form.hidden;
    button.setAttribute("aria-expanded", String(!form.hidden));
    if (!form.hidden) line.select();
  };
  const button = make("button", { type: "button", "aria-expanded": "false", onclick: toggle }, word);
  return make("div", {}, button, form);
};

// First: which instrument, all of them drawn at one scale.
const firstQuestion = async (place, go, later) => {
  const { families } = await ask("/api/families");
  const pick = (family) => secondQuestion(place, go, families, family);
  const list = make(
    "ul",
    { class: "families" },
    families.map((family) =>
      make(
        "li",
        {},
        make(
          "button",
          { type: "button", class: "family", onclick: () => pick(family) },
          make("span", { class: "small-board" }, drawing(family.drawing)),
          make("span", { class: "called" }, family.name),
          make("span", { class: "file" }, `${family.scale} · ${family.frets} frets`),
        ),
      ),
    ),
  );
  const asked = later ? make("h2", {}, "What are you building?") : null;
  place.replaceChildren(...[asked, make("p", { class: "soft" }, "All are drawn at one scale. The figures are the usual ones; yours take their place."), list].filter(Boolean));
};

// Second: how long is its scale, and in what is it measured.  Third: what is it called.
const secondQuestion = (place, go, families, family) => {
  const told = make("div", { class: "told wrong", role: "alert", hidden: true });
  const scale = make("input", { type: "text", id: "new-scale", value: family.scale, spellcheck: false, autocomplete: "off" });
  const inches = / in$|"$/.test(family.scale);
  const unit = choice("new-unit", "Measured in", [["mm", "millimetres"], ["in", "inches"]], inches ? "in" : "mm");
  const hand = choice("new-hand", "For a player", [["right", "right-handed"], ["left", "left-handed"]], "right");
  const name = make("input", { type: "text", id: "new-name", value: family.name, spellcheck: false, autocomplete: "off" });
  const send = async (event) => {
    event.preventDefault();
    const said = { family: family.name, scale: scale.value, unit: unit.value(), hand: hand.value(), name: name.value.trim() };
    try {
      const made = await tell("/api/new", said);
      go(`/board/${encodeURIComponent(made.name)}`);
    } catch (fault) {
      if (!(fault instanceof CannotBe)) throw fault;
      told.replaceChildren(mark("wrong"), make("span", {}, fault.message));
      told.hidden = false;
    }
  };
  place.replaceChildren(
    make("h2", {}, `A ${family.name}`),
    make("div", { class: "small-board large" }, drawing(family.drawing)),
    make(
      "form",
      { class: "questions", onsubmit: send },
      make("p", { class: "question" }, make("label", { htmlFor: "new-scale" }, "How long is its scale?"), scale, make("span", { class: "soft" }, "from the nut to the saddle: twice the distance from the nut to fret 12")),
      unit.element,
      hand.element,
      make("p", { class: "question" }, make("label", { htmlFor: "new-name" }, "What is it called?"), name, make("span", { class: "soft" }, "its file has this name")),
      told,
      make("p", { class: "buttons" }, make("button", { type: "submit", class: "main" }, "Draw it"), make("button", { type: "button", onclick: () => firstQuestion(place, go, true) }, "Another instrument")),
    ),
  );
  scale.focus();
  scale.select();
};

const choice = (name, called, words, chosen) => {
  const inputs = words.map(([value]) => make("input", { type: "radio", name, value, id: `${name}-${value}`, checked: value === chosen }));
  const labels = words.map(([value, said], index) => [inputs[index], make("label", { htmlFor: `${name}-${value}` }, said)]);
  return {
    element: make("fieldset", { class: "segments" }, make("legend", {}, called), labels),
    value: () => inputs.find((each) => each.checked).value,
  };
};
