// Go where a check was made: to its step, and to its depth in the Column.
import type { LedgerRow, Scene } from '../api/types';
import { view } from '../state/view.svelte';

export function showInColumn(row: LedgerRow, scene: Scene | null): void {
  const known = scene?.steps.find((one) => one.name === row.step);
  if (known) view.step = known.index === (scene?.steps.length ?? 0) - 1 ? '' : known.name;
  if (row.z === null) return;
  view.hover = row.z;
  if (!view.range || (row.z >= view.range.top && row.z <= view.range.bottom)) return;
  // keep the zoom, bring the depth to the middle
  const half = (view.range.bottom - view.range.top) / 2;
  view.range = { top: row.z - half, bottom: row.z + half };
}
