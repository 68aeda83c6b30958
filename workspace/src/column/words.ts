// A handle's value in words, as it stands or as the hand has just set it.
import type { Handle, Scene } from '../api/types';
import { depthBelow, shown } from '../format';

export function saysNow(scene: Scene, handle: Handle, value: number): string {
  if (value === handle.value && handle.says) return handle.says;
  if (!isDepth(handle)) return shown(scene, value, handle.unit);
  const datum = scene.datums.find((one) => handle.written.includes(one.name))?.name ?? scene.datum;
  return depthBelow(scene, value, datum); // in the datum it is written in, as the server says it
}

/** What is short enough for a grip: the name of the thing without what its place says. */
export function shortLabel(handle: Handle): string {
  const name = handle.id.slice(handle.id.indexOf(':') + 1) || handle.label;
  switch (handle.kind) {
    case 'shoe':
      return name;
    case 'section_bottom':
      return `bottom, ${name}`;
    case 'cement_top':
      return 'cement';
    case 'tail_top':
      return 'tail';
    case 'flow':
      return handle.id === 'flow:core' ? 'coring' : 'flow';
    case 'core_top':
      return 'core top';
    case 'core_bottom':
      return 'core base';
    default:
      return name;
  }
}

export const isDepth = (handle: Handle): boolean => handle.unit === 'm' && handle.track !== 'window';

/** Depth as a number only: unit and datum stand at the axis. */
export function shortDepth(scene: Scene, z: number): string {
  const text = depthBelow(scene, z);
  return `${text.includes(' above ') ? '−' : ''}${text.split(' ')[0]}`;
}
