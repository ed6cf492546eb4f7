// Which page an address names: the shelf, or one board with one ticket open.

import { CannotBe } from "./asking.js";
import { openBoard } from "./board.js";
import { find, make } from "./elements.js";
import { openShelf } from "./shelf.js";

let leave = () => {};

export const go = (address) => {
  history.pushState(null, "", address);
  show();
};

const show = async () => {
  leave();
  leave = () => {};
  const [, kind, name] = location.pathname.split("/");
  try {
    leave = kind === "board" ? await openBoard(decodeURIComponent(name), go) : await openShelf(go);
  } catch (fault) {
    if (!(fault instanceof CannotBe)) throw fault;
    find("head").replaceChildren(make("h1", {}, make("a", { href: "/" }, "The bench")));
    find("main").replaceChildren(make("p", { class: "notice", role: "alert" }, fault.message));
  }
  document.documentElement.dataset.ready = kind || "shelf";
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
