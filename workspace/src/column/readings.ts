// What every track says at one depth, for the readout and for those who listen.
import type { Scene } from '../api/types';
import { shown } from '../format';
import { bore } from './bore';
import type { Quantity } from './columnView.svelte';
import { valueAt } from './curves';
import { inches } from './inches';
import { profileStroke, WINDOW, WINDOW_WORDS, type Stroke } from './strokes';
import { valuesOf } from './windowSpan';

/** One line of the readout. `stroke` is the sample of the line it belongs to. */
export interface Reading { label: string; text: string; title?: string; stroke?: Stroke; strong?: boolean }

const UNIT: Record<Quantity, string> = { density: 'kg/m3', pressure: 'Pa' };

export function rockReadings(scene: Scene, z: number | null): Reading[] {
  const rock = z === null ? undefined : scene.rocks.find((one) => z >= one.top && z < one.bottom);
  if (!rock) return [];
  const readings: Reading[] = [{ label: '', text: rock.lithology }];
  if (marked(rock.fluid)) readings.push({ label: 'fluid', text: rock.fluid, strong: rock.fluid !== 'water' });
  if (marked(rock.hazard)) readings.push({ label: 'hazard', text: rock.hazard, strong: true });
  return readings;
}

export const marked = (word: string): boolean => word !== '' && word !== 'none';

/** A line for every kind of curve there is: the legend, with values where they are known. */
export function windowReadings(scene: Scene, z: number | null, quantity: Quantity): Reading[] {
  return Object.entries(WINDOW).flatMap(([kind, stroke]) => {
    const curves = scene.window.curves.filter((one) => one.kind === kind);
    if (!curves.length) return [];
    const values = z === null ? [] : curves.map((one) => valueAt(one.z, valuesOf(one, quantity), z));
    const value = values.filter((one) => one !== null).at(-1);
    return [{ label: stroke.label, text: value === undefined ? '' : plain(scene, value, UNIT[quantity]), title: WINDOW_WORDS[kind], stroke }];
  });
}

export function holeReadings(scene: Scene, z: number | null): Reading[] {
  if (z === null) return [];
  const { section } = scene;
  const readings: Reading[] = [];
  const within = (one: { top: number; bottom: number }): boolean => z >= one.top && z <= one.bottom;
  const open = section.cuts.find((one) => !one.cased && within(one));
  const steel = section.steel.filter((one) => z >= one.top && z <= one.shoe);
  const wide = bore(section).find((one) => within(one));
  if (section.riser && within(section.riser)) {
    readings.push({ label: '', text: z >= section.riser.preventer_top ? 'preventer' : 'riser' });
  }
  for (const one of steel.slice(-2)) {
    const cemented = one.cement_top !== null && one.cement_bottom !== null && z >= one.cement_top && z <= one.cement_bottom;
    readings.push({ label: inches(one.outside_diameter), text: `${one.name}${cemented ? ', cemented' : ''}${one.standing ? '' : ', hanging'}` });
  }
  if (open) readings.push({ label: inches(open.diameter), text: 'open hole' });
  if (wide && !open) readings.push({ label: 'inside', text: inches(wide.diameter) });
  const part = section.string.find((one) => within(one));
  if (part) readings.push({ label: 'string', text: `${part.name}${part.name.includes(' in') ? '' : `, ${inches(part.outside_diameter)}`}` });
  const plug = section.plugs.find((one) => within(one));
  if (plug) readings.push({ label: '', text: plug.name });
  if (section.core && within(section.core)) readings.push({ label: '', text: 'cored' });
  const layer = section.layers.find((one) => within(one));
  if (layer) readings.push({ label: layer.name, text: shown(scene, layer.density, 'kg/m3') });
  return readings;
}

export function temperatureReadings(scene: Scene, z: number | null): Reading[] {
  return scene.temperature.map((one, n) => {
    const value = z === null ? null : valueAt(one.z, one.value, z);
    return { label: one.label, text: value === null ? '' : plain(scene, value, 'K', 3), stroke: profileStroke(n, one.label) };
  });
}

export function strengthReadings(scene: Scene, z: number | null): Reading[] {
  return scene.strength.curves.map((one, n) => {
    const value = z === null ? null : valueAt(one.z, one.value, z);
    return { label: one.label, text: value === null ? '' : `${Math.round(100 * value)} %`, stroke: profileStroke(n, one.label) };
  });
}

export function budgetReadings(scene: Scene, z: number | null): Reading[] {
  const { budget } = scene;
  const through = z === null ? [] : budget.bars.filter((one) => z >= one.top && z <= one.shoe);
  const bar = through.at(-1);
  if (bar) return [{ label: 'drift', text: brief(bar.passes) }, { label: 'spent', text: brief(bar.spent) }, { label: '', text: bar.name }];
  const readings: Reading[] = [{ label: 'at end', text: brief(budget.last_hole) }];
  if (budget.core !== null) readings.push({ label: 'core', text: brief(budget.core) });
  return readings;
}

// the head of the track has the unit
const brief = (diameter: number): string => inches(diameter).replace(' in', '″');

// the readout has the unit at its head: lines carry the number only
function plain(scene: Scene, value: number, unit: string, digits = 4): string {
  const text = shown(scene, value, unit, digits);
  const label = scene.units[unit]?.label ?? unit;
  return label && text.endsWith(label) ? text.slice(0, -label.length).trimEnd() : text;
}

/** All tracks in one sentence, for a screen reader. */
export function spoken(scene: Scene, z: number, quantity: Quantity, depth: string): string {
  const say = (readings: Reading[]): string =>
    readings
      .filter((one) => one.text)
      .map((one) => `${one.label} ${one.text}`.trim())
      .join(', ');
  const unit = scene.units[UNIT[quantity]]?.label ?? '';
  const window = say(windowReadings(scene, z, quantity));
  const parts = [
    depth,
    say(rockReadings(scene, z)),
    window && `${window} ${unit}`,
    say(holeReadings(scene, z)),
    say(temperatureReadings(scene, z)).replace(/(\d)(,|$)/g, `$1 ${scene.units['K']?.label ?? 'K'}$2`),
    say(strengthReadings(scene, z)),
  ];
  return parts.filter(Boolean).join('. ');
}
