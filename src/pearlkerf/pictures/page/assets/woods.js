// The woods of a page: one for each setup, cut by all its programs in order.

import { RAPID } from "./track.js";
import { Wood } from "./wood.js";

const BARE_MARGIN_MM = 8; // wood drawn around a program that is shown without a board
const BARE_THICKNESS_MM = 6;

// What a wood is when no board is given: a plain block under everything that cuts.
const blockUnder = (track) => {
  const low = [Infinity, Infinity, 0];
  const high = [-Infinity, -Infinity];
  const { ends, owner, count } = track.pieces;
  for (let piece = 0; piece < count; piece += 1) {
    if (track.kind(owner[piece]) === RAPID) continue;
    for (const at of [6 * piece, 6 * piece + 3]) {
      low[0] = Math.min(low[0], ends[at]);
      low[1] = Math.min(low[1], ends[at + 1]);
      low[2] = Math.min(low[2], ends[at + 2]);
      high[0] = Math.max(high[0], ends[at]);
      high[1] = Math.max(high[1], ends[at + 1]);
    }
  }
  if (!Number.isFinite(low[0])) [low[0], low[1], high[0], high[1]] = [0, 0, 100, 60];
  const [x0, y0, x1, y1] = [low[0] - BARE_MARGIN_MM, low[1] - BARE_MARGIN_MM, high[0] + BARE_MARGIN_MM, high[1] + BARE_MARGIN_MM];
  return {
    wood: "",
    outline: [[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
    thickness: Math.max(BARE_THICKNESS_MM, 2 - low[2]),
    crown: null,
    placement: [0, 0, 0],
    features: [],
  };
};

// One wood for each setup; a program without a setup has a block of its own.
export const makeWoods = (run, tracks, cutterOf) => {
  const woods = new Map();
  run.setups.forEach((setup, number) => {
    const wood = new Wood(setup);
    const own = tracks.filter((track) => track.setup === number && track.count);
    wood.takeTracks(own, cutterOf);
    own.forEach((track) => woods.set(track, wood));
  });
  for (const track of tracks) {
    if (woods.has(track)) continue;
    const wood = new Wood(track.setup >= 0 ? run.setups[track.setup] : blockUnder(track));
    wood.takeTracks([track], cutterOf);
    woods.set(track, wood);
  }
  return woods;
};
