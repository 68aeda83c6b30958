// What lies under a click in the drawing.
import type { Scene } from '../api/types';
import type { Quantity } from './columnView.svelte';
import { valueAt } from './curves';
import type { Frame } from './frame';
import { holeLayout } from './holeLayout';
import { askCurve, askOther, askSteel, askString, type Asked } from './working';
import { valuesOf } from './windowSpan';

const NEAR = 10; // px

/** What to open for a click, or the id of a check where the drawing names it; null beside everything. */
export function hit(scene: Scene, frame: Frame, quantity: Quantity, x: number, y: number): Asked | string | null {
  const track = frame.arranged.placed.find((one) => x >= one.x && x < one.x + one.width);
  const z = frame.scale.z(y);
  const inside = track ? x - track.x : 0;
  switch (track?.id) {
    case 'window':
      return curveAt(scene, frame, quantity, z, inside, track.width);
    case 'hole':
      return steelAt(scene, frame, z, inside, track.width);
    case 'strength':
      return strengthAt(scene, z, inside / track.width);
    case 'temperature':
      return askOther(z, ['temperature'], ['flow']);
    case 'budget': {
      const bar = scene.budget.bars.filter((one) => z >= one.top && z <= one.shoe).at(-1);
      return askOther(z, bar ? ['casing-clearance', 'casing-passes'] : ['bit-passes', 'core-diameter'], ['fit'], bar?.name ?? '');
    }
    case 'rock': {
      const rock = scene.rocks.find((one) => z >= one.top && z < one.bottom);
      if (rock?.hazard && rock.hazard !== 'none') return askOther(z, ['shallow-flow'], ['well control']);
      return rock && rock.fluid === 'gas' ? askOther(z, ['kick-tolerance'], ['well control']) : null;
    }
    default:
      return null;
  }
}

function curveAt(scene: Scene, frame: Frame, quantity: Quantity, z: number, x: number, width: number): Asked | null {
  let best: Asked | null = null;
  let near = NEAR;
  for (const curve of scene.window.curves) {
    const value = valueAt(curve.z, valuesOf(curve, quantity), z);
    if (value === null) continue;
    const away = Math.abs(((value - frame.span.low) / (frame.span.high - frame.span.low)) * width - x);
    if (away < near || (away === near && curve.section)) [best, near] = [askCurve(curve.kind, curve.section, z), away];
  }
  return best;
}

function steelAt(scene: Scene, frame: Frame, z: number, x: number, width: number): Asked | null {
  const { section } = scene;
  const from = Math.abs(x - holeLayout(width).centre);
  const { riser } = section;
  if (riser && z >= riser.top && z <= riser.bottom && from > 4) return askOther(z, [], ['riser']);
  const part = section.string.find((one) => z >= one.top && z <= one.bottom);
  if (part && from <= Math.max(0.5 * part.outside_diameter * frame.perMetre, 4)) return askString(section.string_name, z);
  if (section.core && from <= 6 && z >= section.core.top && z <= section.core.bottom) return askOther(z, ['core-diameter', 'barrel-passes'], ['core']);
  if (section.plugs.some((one) => z >= one.top && z <= one.bottom) && from < 12) return askOther(z, ['plug-length', 'plug-across-shoe'], ['well control']);
  const steel = section.steel
    .filter((one) => z >= one.top && z <= one.shoe)
    .map((one) => ({ name: one.name, away: Math.abs(0.5 * one.outside_diameter * frame.perMetre - from) }))
    .sort((a, b) => a.away - b.away)[0];
  if (steel && steel.away <= NEAR) return askSteel(steel.name, z);
  return section.cuts.some((one) => !one.cased && z >= one.top && z <= one.bottom) && from < 12 ? askCurve('circulating', '', z) : null;
}

// the curves of the strength are named by the checks that judged them
function strengthAt(scene: Scene, z: number, share: number): string | null {
  const most = Math.max(1, ...scene.strength.curves.flatMap((one) => one.value.map((value) => value ?? 0))) * 1.06;
  const found = scene.strength.curves
    .map((one) => {
      const value = one.z.length === 1 ? (one.value[0] ?? null) : valueAt(one.z, one.value, z);
      return { name: one.name, away: value === null ? Infinity : Math.abs(value / most - share) };
    })
    .sort((a, b) => a.away - b.away)[0];
  return found && found.away < 0.12 ? found.name : null;
}
