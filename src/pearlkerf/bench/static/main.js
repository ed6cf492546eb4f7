// Which page an address names: the shelf, or one board with one ticket open.

import { CannotBe } from "./asking.js";
import { openBoard } from "./board.js";
import { find, make } from "./elements.js";
import { openFits } from "./fits.js";
import { openJob, openPieces, openStrip } from "./job.js";
import { openMachine, openMachines } from "./machine.js";
import { openShelf } from "./shelf.js";
import { openShell } from "./shell.js";

// by what stands before and after the name of a board
const PAGES = {
  board: openBoard,
  "board/job": openJob,
  "board/pieces": openPieces,
  "board/strip": openStrip,
  machines: openMachines,
  machine: openMachine,
  "board/fits": openFits,
  "board/shell": openShell,
};

let leave = () => {};

export const go = (address) => {
  history.pushState(null, "", address);
  show();
};

const show = async () => {
  leave();
  leave = () => {};
  const [, kind, name, page] = location.pathname.split("/");
  try {
    const open = PAGES[[kind, page].filter(Boolean).join("/")] ?? openShelf;
    leave = await open(name ? decodeURIComponent(name) : go, go);
  } catch (fault) {
    if (!(fault instanceof CannotBe)) throw fault;
    document.title = "The bench";
    find("head").replaceChildren(make("h1", {}, make("a", { href: "/" }, "The bench")));
    find("main").replaceChildren(make("p", { class: "notice", role: "alert" }, fault.message));
  }
  document.documentElement.dataset.ready = page || kind || "shelf";
};

let path = location.pathname;
addEventListener("popstate", () => {
  if (location.pathname !== path) show();
  path = location.pathname;
});
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href^='/']");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || link.target) return;
  event.preventDefault();
  go(link.getAttribute("href"));
  path = location.pathname;
});

show();
