// Where features are numbered and met: all from their own lines, ``from`` one end ``to`` the other, so many mm ``wide``.

// The side of the board along which a feature is numbered: frets along the low side, dots along the high one.
const SIDES = { frets: "low", marks: null };

export const numberedSide = ({ group }) => (group in SIDES ? SIDES[group] : "high");

// How far along the board its number stands: where its line meets that side.
export const numberedAlong = ({ from, to }, side) => {
  if (from[1] === to[1]) return (from[0] + to[0]) / 2;
  return from[1] < to[1] === (side === "low") ? from[0] : to[0];
};

// How far a point lies from a feature, below 0 inside it; all in one unit, ``scale`` of them a mm.
export const awayFrom = (feature, [x, y], [ax, ay], [bx, by], scale = 1) => fromStretch(x, y, ax, ay, bx, by) - (feature.wide / 2) * scale;

export const fromStretch = (px, py, ax, ay, bx, by) => {
  const [dx, dy] = [bx - ax, by - ay];
  const length2 = dx * dx + dy * dy;
  const part = length2 > 0 ? Math.min(1, Math.max(0, ((px - ax) * dx + (py - ay) * dy) / length2)) : 0;
  return Math.hypot(px - ax - part * dx, py - ay - part * dy);
};
