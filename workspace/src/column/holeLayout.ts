// Where the hole stands in its track: the drawing to the left, the names and grips to the right.

export interface HoleLayout { centre: number; half: number; lane: number; laneWidth: number }

export function holeLayout(width: number): HoleLayout {
  const laneWidth = Math.round(Math.min(190, Math.max(129, 0.48 * width)));
  const lane = width - laneWidth;
  const half = Math.max(20, Math.min(0.5 * lane - 8, 90));
  return { centre: 0.5 * lane, half, lane, laneWidth };
}
