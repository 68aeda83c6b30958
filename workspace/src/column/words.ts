// A handle's value in words, as it stands or as the hand has just set it.
import type { Handle, Scene } from '../api/types';
import { depthBelow, shown } from '../format';

export function saysNow(scene: Scene, handle: Handle, value: number): string {
  if (value === handle.value && handle.says) return handle.says;
  return isDepth(handle) ? depthBelow(scene, value) : shown(scene, value, handle.unit);
}

/** What is short enough for a grip: the name of the thing without what its place says. */
export function shortLabel(handle: Handle): string {
  const name = handle.id.slice(handle.id.indexOf(':') + 1) || handle.label;
  switch (handle.kind) {
    case 'shoe':
      return `${name} shoe`;
    case 'section_bottom':
      return `${name} bottom`;
    case 'cement_top':
      return `cement, ${name}`;
    case 'tail_top':
      return `tail, ${name}`;
    case 'core_top':
      return 'core top';
    case 'core_bottom':
      return 'core bottom';
    default:
      return name;
  }
}

export const isDepth = (handle: Handle): boolean => handle.unit === 'm' && handle.track !== 'window';

/** Depth as a number and unit only: the datum stands at the axis. */
export function shortDepth(scene: Scene, z: number): string {
  return depthBelow(scene, z).replace(/ below .*$/, '').replace(/ above .*$/, ' above');
}
