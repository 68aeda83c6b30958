// What is open, what is filled and what stands around it, from the plain spans of the scene.
import type { HoleSection, Steel } from '../api/types';

export interface Stretch { top: number; bottom: number; diameter: number }

function cutUp(edges: number[]): [number, number][] {
  const sorted = [...new Set(edges)].sort((a, b) => a - b);
  return sorted.slice(1).map((bottom, i) => [sorted[i]!, bottom]);
}

const covers = (top: number, bottom: number, z: number): boolean => top <= z && z <= bottom;

/** How wide the way down is at every depth: inside the riser, the innermost steel, or the open hole. */
export function bore(section: HoleSection): Stretch[] {
  const steel = section.steel.filter((one) => one.standing);
  const stretches: Stretch[] = [];
  const edges = [...steel.flatMap((one) => [one.top, one.shoe]), ...section.cuts.flatMap((one) => [one.top, one.bottom])];
  for (const [top, bottom] of cutUp(edges)) {
    const middle = 0.5 * (top + bottom);
    const inside = steel.filter((one) => covers(one.top, one.shoe, middle)).map((one) => one.inside_diameter);
    const open = section.cuts.filter((one) => covers(one.top, one.bottom, middle)).map((one) => one.diameter);
    const width = inside.length ? Math.min(...inside) : Math.max(0, ...open);
    if (width > 0) stretches.push({ top, bottom, diameter: width });
  }
  const { riser } = section;
  if (riser) stretches.unshift({ top: riser.top, bottom: riser.bottom, diameter: riser.inside_diameter });
  return stretches;
}

/** The parts of stretches between two depths. */
export function clipped(stretches: readonly Stretch[], top: number, bottom: number): Stretch[] {
  return stretches
    .filter((one) => one.bottom > top && one.top < bottom)
    .map((one) => ({ ...one, top: Math.max(one.top, top), bottom: Math.min(one.bottom, bottom) }));
}

/** Cement around a string: how far out it reaches at every depth. */
export function cementAround(own: Steel, section: HoleSection): Stretch[] {
  if (own.cement_top === null || own.cement_bottom === null) return [];
  const others = section.steel.filter(
    (one) => one !== own && one.standing && one.inside_diameter > own.outside_diameter,
  );
  const edges = [own.cement_top, own.cement_bottom, ...others.flatMap((one) => [one.top, one.shoe])];
  return cutUp(edges.filter((z) => covers(own.cement_top!, own.cement_bottom!, z))).map(([top, bottom]) => {
    const middle = 0.5 * (top + bottom);
    const around = others.filter((one) => covers(one.top, one.shoe, middle)).map((one) => one.inside_diameter);
    return { top, bottom, diameter: around.length ? Math.min(...around) : own.hole_diameter };
  });
}

/** The greatest diameter of what stands between two depths. */
export function widest(section: HoleSection, top = -Infinity, bottom = Infinity): number {
  const seen = (from: number, to: number): boolean => to > top && from < bottom;
  const { riser } = section;
  return Math.max(
    0.1,
    ...section.cuts.filter((one) => seen(one.top, one.bottom)).map((one) => one.diameter),
    ...section.steel.filter((one) => seen(one.top, one.shoe)).map((one) => one.outside_diameter),
    riser && seen(riser.top, riser.bottom) ? riser.outside_diameter : 0,
  );
}
