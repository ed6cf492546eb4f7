// One small picture for each thing that a beginner does not know, beside its field.

import { drawing, make } from "./elements.js";

const HINTS = {
  "cutter.reach": [
    "How much of it cuts: no cut is deeper.",
    '<path class="metal" d="M90 2H120V24H90Z"/><path class="metal" d="M96 24H114V58H96Z"/><path class="cut" d="M96 30 114 36M96 38 114 44M96 46 114 52"/><path class="line" d="M126 25H140M126 58H140M133 25V58M130 29 133 25 136 29M130 54 133 58 136 54"/><text x="166" y="46">reach</text>',
  ],
  "cutter.runout": [
    "Turn it by hand against a dial gauge: the most less the least that it shows.",
    '<path class="metal" d="M60 4H80V54H60Z"/><path class="dash" d="M64 4H84V54H64Z"/><path class="line" d="M84 34H108"/><path class="wood" d="M126 34a17 17 0 1 1-34 0a17 17 0 1 1 34 0" transform="translate(18 0)"/><path class="line" d="M127 34 136 24"/><text x="178" y="38">gauge</text>',
  ],
  "scale.length": [
    "Twice the way from the nut to fret 12.",
    '<path class="wood" d="M10 22H150V38H10Z"/><path class="cut" d="M80 22V38"/><path class="line" d="M10 14H80M80 14H196M10 10V18M80 10V18M196 10V18M196 26V34"/><text x="45" y="10">½</text><text x="138" y="10">½</text><text x="10" y="54">nut</text><text x="80" y="54">12</text><text x="192" y="54">saddle</text>',
  ],
  "fret_slots.tang": [
    "The bare tang: neither the crown on top of it, nor its barbs.",
    '<path class="metal" d="M62 24Q100 -2 138 24Z"/><path class="metal" d="M94 24H106V56H94ZM90 38H94V42H90ZM106 38H110V42H106Z"/><path class="line" d="M94 50H70M106 50H130M78 47 70 50 78 53M122 47 130 50 122 53"/><text x="146" y="54">tang</text>',
  ],
  "board.hand": [
    "The bass edge carries the thickest string: nearest to a right-handed player's face.",
    '<path class="wood" d="M20 18 180 12V46L20 40Z"/><path class="cut wide" d="M20 36 180 41"/><path class="cut" d="M20 29 180 29M20 22 180 17"/><text x="100" y="59">bass</text><text x="100" y="9">treble</text>',
  ],
  "board.crown_allowance": [
    "What radiusing and levelling will still take off the middle.",
    '<path class="wood" d="M30 16H170V46H30Z"/><path class="dash" d="M30 34Q100 12 170 34"/><path class="line" d="M100 4V16M100 32V24M97 11 100 16 103 11M97 29 100 24 103 29"/><text x="138" y="11">this much</text>',
  ],
  "board.radius": [
    "Of the circle that the finished face is a part of, cut across.",
    '<path class="wood" d="M46 20Q105 8 164 20V40H46Z"/><path class="dash" d="M20 30Q105 -6 190 30"/><path class="line" d="M105 58V14M102 18 105 14 108 18"/><text x="128" y="57">radius</text>',
  ],
  "blank.beyond_nut": [
    "Rough wood that is left over at the nut's end; the board lies in the middle of it.",
    '<path class="wood" d="M10 10H200V50H10Z"/><path class="dash" d="M50 18 170 12V48L50 42Z"/><path class="line" d="M10 30H50M14 27 10 30 14 33M46 27 50 30 46 33"/><text x="30" y="25">this</text><text x="66" y="34">nut</text>',
  ],
  "fret_slots.depth": [
    "From the finished face down, not from the raw one.",
    '<path class="wood" d="M20 12H190V56H20Z"/><path class="dash" d="M20 18H190"/><path class="cut" d="M92 12V44H102V12"/><path class="line" d="M124 18V44M121 22 124 18 127 22M121 40 124 44 127 40M102 44H130"/><text x="156" y="35">depth</text><text x="50" y="30">finished</text>',
  ],
  "face_dots.shell_left": [
    "What stays of the dot once it is levelled with the finished face.",
    '<path class="wood" d="M20 14H190V58H20Z"/><path class="shell" d="M80 10H120V44H80Z"/><path class="dash" d="M20 22H190"/><path class="line" d="M140 22V44M137 26 140 22 143 26M137 40 140 44 143 40M120 44H144"/><text x="168" y="37">left</text>',
  ],
  "inlay.gap": [
    "Between piece and pocket, all round: 0.05 a side is 0.10 in all.",
    '<path class="wood" d="M20 8H190V56H20Z"/><path class="cut" d="M62 8V44H148V8"/><path class="shell" d="M70 8H140V44H70Z"/><path class="line" d="M44 24H62M58 21 62 24 58 27M86 24H70M74 21 70 24 74 27"/><text x="40" y="44">gap</text>',
  ],
  "cutter.stick_out": [
    "From the collet to the tip, as it is clamped.",
    '<path class="metal" d="M84 2H126V20H84Z"/><path class="metal" d="M96 20H114V58H96Z"/><path class="line" d="M126 20H150M114 58H150M142 20V58M139 24 142 20 145 24M139 54 142 58 145 54"/><text x="178" y="43">sticks out</text>',
  ],
};

export const hint = (place, key) => {
  const found = HINTS[place.filter((part) => typeof part === "string").join(".")];
  if (!found) return null;
  const [words, shapes] = found;
  const picture = drawing(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 62" aria-hidden="true">${shapes}</svg>`);
  return make("figure", { class: "hint-picture", data: { of: key } }, picture, make("figcaption", {}, words));
};
