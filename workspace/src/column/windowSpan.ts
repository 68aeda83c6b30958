// The scale across the window: what is in view decides, so that a zoom spreads the curves apart.
import type { PressureCurve, Scene } from '../api/types';
import type { Range } from './axis';
import type { Quantity } from './columnView.svelte';
import { extent, type Line } from './curves';

export interface Span { low: number; high: number }

export const valuesOf = (curve: PressureCurve, quantity: Quantity): (number | null)[] =>
  quantity === 'density' ? curve.density : curve.pressure;

/** Least and greatest over the depths in view, of all scenes drawn over each other. */
export function windowSpan(scenes: readonly Scene[], quantity: Quantity, range: Range): Span {
  const lines = scenes.flatMap((scene) =>
    scene.window.curves.map((curve): Line => ({ z: curve.z, values: valuesOf(curve, quantity) })),
  );
  const found = extent(lines, range.top, range.bottom) ?? extent(lines, -Infinity, Infinity);
  if (!found) return { low: 0, high: 1 };
  const [least, most] = found;
  const room = 0.05 * Math.max(most - least, 1e-3 * Math.abs(most), 1e-9);
  return { low: least - room, high: most + room };
}

export function profileSpan(scenes: readonly Scene[], track: 'temperature' | 'strength'): Span {
  const lines = scenes.flatMap((scene) =>
    (track === 'temperature' ? scene.temperature : scene.strength.curves).map((one): Line => ({ z: one.z, values: one.value })),
  );
  const found = extent(lines, -Infinity, Infinity);
  if (track === 'strength') return { low: 0, high: 1.06 * Math.max(1, found?.[1] ?? 1) };
  if (!found) return { low: 273.15, high: 283.15 };
  const room = 0.05 * Math.max(found[1] - found[0], 1);
  return { low: found[0] - room, high: found[1] + room };
}
