// A blank and the pieces on it as shapes: what is gone, what is cut around each piece, and the wall that has to stay.

const SVG = "http://www.w3.org/2000/svg";
const LETTERS_PX = 17;

export const svg = (name, attributes = {}, ...held) => {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) if (value !== null && value !== undefined && value !== false) element.setAttribute(key, value);
  element.append(...held.flat().filter(Boolean));
  return element;
};

const same = (one, other) => String(one) === String(other);

// All that lies on a blank, in its own millimetres, y down; so many pixels a millimetre.
export const laidOut = (view, blank, scale, held) => {
  const { length_mm: long, width_mm: wide } = blank;
  const far = 10 * Math.max(long, wide);
  const pieces = view.laid.filter((each) => same(each.blank, blank.blank));
  return [
    svg("defs", {}, svg("pattern", { id: "gone", width: 8 / scale, height: 8 / scale, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, svg("rect", { class: "gone-ground", width: 8 / scale, height: 8 / scale }), svg("line", { class: "gone-line", y2: 8 / scale, "stroke-width": 3 / scale }))),
    svg("path", { class: "beyond", "fill-rule": "evenodd", d: `M${-far} ${-far}h${2 * far + long}v${2 * far + wide}h${-2 * far - long}ZM0 0h${long}v${wide}h${-long}Z` }),
    svg("rect", { class: "whole", width: long, height: wide }),
    ...blank.used.map(([x, y, farX, farY]) => svg("rect", { class: "used", x, y: wide - farY, width: farX - x, height: farY - y }, titled("used: nothing is cut here"))),
    ...blank.others.map(([x, y, farX, farY]) => svg("rect", { class: "of-others", x, y: wide - farY, width: farX - x, height: farY - y }, titled("left alone: the other pieces are cut here"))),
    ...[...pieces].sort((one, other) => Number(one.piece === held) - Number(other.piece === held)).map((each) => laidPiece(view, each, blank, scale)),
  ];
};

const titled = (words) => {
  const title = svg("title");
  title.textContent = words;
  return title;
};

export const said = (view, mm) => `${(mm / view.mm_a_unit).toFixed(view.decimals)}`;

export const whereSaid = (view, place) => `${place.kept ? "laid" : "packed"} at ${said(view, place.at[0])}, ${said(view, place.at[1])} ${view.unit}, turned ${place.turn}°`;

const laidPiece = (view, place, blank, scale) => {
  const piece = view.pieces.find((each) => each.name === place.piece);
  const number = svg("text", { transform: `rotate(${place.turn})`, "font-size": LETTERS_PX / scale, dy: (LETTERS_PX * 0.35) / scale });
  number.textContent = piece.number + (piece.spare ? "′" : "");
  return svg(
    "g",
    {
      class: ["piece", place.kept ? "placed" : "packed", place.wrong ? "wrong" : ""].filter(Boolean).join(" "),
      "data-piece": place.piece,
      transform: `translate(${place.at[0]} ${blank.width_mm - place.at[1]}) rotate(${-place.turn})`,
      tabindex: 0,
      role: "button",
      "aria-label": `${piece.number} ${place.piece}, ${whereSaid(view, place)}${place.wrong ? `; wrong: ${place.wrong}` : ""}`,
    },
    svg("path", { class: "room", d: piece.room }),
    svg("path", { class: "channel", "fill-rule": "evenodd", d: piece.cut + piece.outline }),
    svg("path", { class: "outline", "fill-rule": "evenodd", d: piece.outline }),
    svg("g", { class: "number", transform: `translate(${piece.widest[0]} ${-piece.widest[1]})` }, number),
  );
};

// The same, small: only the outlines.
export const small = (view, blank, px) => {
  const { length_mm: long, width_mm: wide } = blank;
  const scale = px / long;
  const pieces = view.laid.filter((each) => same(each.blank, blank.blank));
  return svg(
    "svg",
    { class: "small-blank", viewBox: `0 0 ${long} ${wide}`, width: px, height: wide * scale, "aria-hidden": "true" },
    svg("rect", { class: "whole", width: long, height: wide }),
    blank.used.map(([x, y, farX, farY]) => svg("rect", { class: "gone-ground", x, y: wide - farY, width: farX - x, height: farY - y })),
    pieces.map((each) => {
      const { outline } = view.pieces.find((piece) => piece.name === each.piece);
      return svg("path", { class: ["outline", each.kept ? "placed" : "packed", each.wrong ? "wrong" : ""].join(" "), "fill-rule": "evenodd", d: outline, transform: `translate(${each.at[0]} ${wide - each.at[1]}) rotate(${-each.turn})` });
    }),
  );
};
