// Elements of a page, made from names, properties and what they hold; words come in as words, never as markup.

export const make = (name, properties = {}, ...held) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(properties)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "class") element.className = value;
    else if (key === "data") Object.assign(element.dataset, value);
    else if (key in element && !key.startsWith("aria") && key !== "list" && key !== "role") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...held.flat(Infinity).filter((each) => each !== null && each !== undefined && each !== false && each !== ""));
  return element;
};

export const find = (id) => document.getElementById(id);

// A drawing that the bench sends as SVG, as an element of this page.
export const drawing = (text) => {
  if (!text) return null;
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return parsed.nodeName === "svg" ? document.importNode(parsed, true) : null;
};

// The shape that goes with a weight, so that no meaning is in a colour alone.
const SHAPES = {
  right: "M3 9.5 7 13.5 15 4.5",
  doubtful: "M9 2.5 16.5 15.5H1.5ZM9 7v4M9 13v.6",
  wrong: "M9 1.8a7.2 7.2 0 1 0 .01 0M6 6l6 6M12 6l-6 6",
};
export const mark = (weight) => {
  const found = drawing(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 18 18" aria-hidden="true"><path d="${SHAPES[weight]}"/></svg>`);
  found.classList.add("mark", weight);
  return found;
};

export const say = (words) => {
  find("spoken").textContent = words;
};

export const counted = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;
