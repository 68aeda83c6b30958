// How numbers are shown: the server says the unit and the straight line to it, nothing is known here.
import type { Scene } from './api/types';

/** An SI value in the units shown, as a number. */
export function shownNumber(scene: Scene, value: number, unit: string): number {
  const line = scene.units[unit];
  return line ? (value - line.offset) / line.factor : value;
}

export function unitLabel(scene: Scene, unit: string): string {
  return scene.units[unit]?.label ?? unit;
}

/** An SI value with its unit, with about `significant` digits. */
export function shown(scene: Scene, value: number, unit: string, significant = 4): string {
  const label = unitLabel(scene, unit);
  return `${pretty(shownNumber(scene, value, unit), significant)}${label ? ` ${label}` : ''}`;
}

/** A number with about `significant` digits, thousands set apart by a thin space. */
export function pretty(value: number, significant = 4): string {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  const magnitude = Math.floor(Math.log10(Math.abs(value)));
  const decimals = Math.max(0, significant - 1 - magnitude);
  return grouped(value, decimals);
}

// making a formatter costs far more than using it, and a drag writes hundreds of numbers a second
const formats: Intl.NumberFormat[] = [];

function grouped(value: number, decimals: number): string {
  const most = Math.min(decimals, 20);
  formats[most] ??= new Intl.NumberFormat('en-GB', { maximumFractionDigits: most });
  return formats[most].format(value).replaceAll(',', '\u202f');
}

/** A place on the shared axis as a depth below the datum shown. */
export function depthBelow(scene: Scene, z: number, datum = scene.datum): string {
  const zero = scene.datums.find((one) => one.name === datum)?.z ?? 0;
  const depth = z - zero;
  const side = depth < 0 ? 'above' : 'below';
  const line = scene.units['m'];
  const metres = grouped(shownNumber(scene, Math.abs(depth), 'm'), 0);
  return `${metres} ${line?.label ?? 'm'} ${side} ${datum}`;
}

/** Seconds as people say them: 3.2 d, 5 h, 20 min. */
export function duration(seconds: number): string {
  if (seconds >= 86400) return `${pretty(seconds / 86400, 3)} d`;
  if (seconds >= 3600) return `${pretty(seconds / 3600, 2)} h`;
  return `${Math.round(seconds / 60)} min`;
}

/** What stands before a verdict, so that colour is never the only sign. */
export const SIGNS: Record<string, string> = {
  fails: '✕',
  'not judged': '?',
  'outside validity': '◇',
  tight: '△',
  holds: '✓',
};

/** The custom property that colours a verdict. */
export function statusColour(status: string): string {
  const names: Record<string, string> = {
    fails: 'fails',
    'not judged': 'not-judged',
    'outside validity': 'outside',
    tight: 'tight',
    holds: 'holds',
  };
  return `var(--${names[status] ?? 'quiet'})`;
}
