// Which step is chosen, and moving on from it. An empty choice stands for the last step, also
// when the plan gets another last one.
import type { StepMark } from '../api/types';
import { view } from '../state/view.svelte';

export function chosenIndex(steps: StepMark[], name: string): number {
  const at = steps.findIndex((one) => one.name === name);
  return at < 0 ? steps.length - 1 : at;
}

export function choose(steps: StepMark[], index: number): void {
  const at = Math.min(steps.length - 1, Math.max(0, index));
  view.step = at === steps.length - 1 ? '' : (steps[at]?.name ?? '');
}

/** The choice, and the chosen step that the walk does not come to: it is chosen again once the walk does. */
export interface Choice { step: string; missed: string }

export function kept(steps: StepMark[], { step, missed }: Choice): Choice {
  const there = (name: string): boolean => steps.some((one) => one.name === name);
  if (step) return there(step) ? { step, missed: '' } : { step: '', missed: step };
  return there(missed) ? { step: missed, missed: '' } : { step, missed };
}

/** The first step of the next or previous run of steps of one section. */
export function sectionAway(steps: StepMark[], from: number, way: 1 | -1): number {
  const here = steps[from]?.section;
  let at = from;
  while (at >= 0 && at < steps.length && steps[at]?.section === here) at += way;
  if (way > 0) return Math.min(at, steps.length - 1);
  const before = steps[at]?.section;
  while (at > 0 && steps[at - 1]?.section === before) at -= 1;
  return Math.max(at, 0);
}
