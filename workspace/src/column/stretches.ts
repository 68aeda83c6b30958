// Parts of the hole that a reader goes to by name.
import type { Scene } from '../api/types';

export interface Part { top: number; bottom: number }

/** From the deepest shoe that stands to the bottom; null when nothing is open. */
export function openHole(scene: Scene): Part | null {
  const open = scene.section.cuts.filter((one) => !one.cased && one.bottom - one.top > 0.5);
  if (!open.length) return null;
  return { top: Math.min(...open.map((one) => one.top)), bottom: Math.max(...open.map((one) => one.bottom)) };
}

/** The section of the chosen step: where its mud stands in open hole. */
export function stepSection(scene: Scene): { name: string; part: Part } | null {
  const name = scene.steps.find((one) => one.name === scene.step)?.section;
  if (!name) return null;
  const z = scene.window.curves.filter((one) => one.section === name).flatMap((one) => [one.z[0]!, one.z.at(-1)!]);
  z.push(...scene.handles.filter((one) => one.section === name && (one.kind === 'shoe' || one.kind === 'section_bottom')).map((one) => one.value));
  if (!z.length) return null;
  const bottom = Math.max(...z);
  const above = scene.budget.bars.map((one) => one.shoe).filter((shoe) => shoe < bottom - 1);
  const top = z.length > 1 && Math.min(...z) < bottom - 1 ? Math.min(...z) : Math.max(scene.datums.find((one) => one.name === 'sea bed')?.z ?? 0, ...above);
  return { name, part: { top, bottom } };
}
