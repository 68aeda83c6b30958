// Taking hold of a number in the drawing with mouse, pen or finger.
import type { Handle, Scene } from '../api/types';
import { niceBelow, type Scale } from './axis';
import { moves } from './moves.svelte';

const SLACK = 3; // px before a press becomes a drag

export interface Drag {
  handle: Handle;
  /** The value when the hand is `pixels` away from where it took hold. */
  value: (start: number, dx: number, dy: number) => number;
}

/** Attachment: drags a handle from a press on the element; a press without a move calls `pressed` with where on the page it was. */
export function draggable(get: () => Drag | null, pressed: (x: number, y: number) => void = () => undefined) {
  return (node: HTMLElement | SVGElement): (() => void) => {
    let at: { x: number; y: number; start: number; moving: boolean; drag: Drag } | null = null;

    const down = (event: Event): void => {
      const { button, clientX, clientY, pointerId } = event as PointerEvent;
      const drag = get();
      if (button !== 0) return;
      event.stopPropagation(); // the drawing under it would pan
      if (!drag) return;
      node.setPointerCapture(pointerId);
      at = { x: clientX, y: clientY, start: moves.valueOf(drag.handle), moving: false, drag };
    };
    const move = (event: Event): void => {
      if (!at) return;
      const { clientX, clientY } = event as PointerEvent;
      const [dx, dy] = [clientX - at.x, clientY - at.y];
      if (!at.moving) {
        if (Math.hypot(dx, dy) < SLACK) return;
        at.moving = true;
        moves.begin(at.drag.handle);
      }
      moves.drag(at.drag.handle, at.drag.value(at.start, dx, dy));
    };
    const up = (): void => {
      if (!at) return;
      if (at.moving) moves.end();
      else pressed(at.x, at.y);
      at = null;
    };
    const escape = (event: KeyboardEvent): void => {
      if (event.key !== 'Escape' || !at?.moving) return;
      event.preventDefault();
      event.stopPropagation();
      at = null;
      void moves.cancel();
    };
    node.addEventListener('pointerdown', down);
    node.addEventListener('pointermove', move);
    node.addEventListener('pointerup', up);
    node.addEventListener('pointercancel', up);
    window.addEventListener('keydown', escape, true);
    return () => {
      node.removeEventListener('pointerdown', down);
      node.removeEventListener('pointermove', move);
      node.removeEventListener('pointerup', up);
      node.removeEventListener('pointercancel', up);
      window.removeEventListener('keydown', escape, true);
      if (at?.moving) moves.end();
    };
  };
}

/** A depth moved by pixels, at a round number of the shown unit and datum that a pixel can tell. */
export function movedDepth(scene: Scene, scale: Scale, start: number, dy: number): number {
  const z = scale.z(scale.y(start) + dy);
  const zero = scene.datums.find((one) => one.name === scene.datum)?.z ?? 0;
  const unit = scene.units['m']?.factor ?? 1;
  const pixel = Math.abs(scale.z(scale.y(z) + 1) - z) / unit;
  return zero + rounded((z - zero) / unit, Math.max(pixel, 1)) * unit;
}

/** A quantity moved by pixels across a track, rounded in the unit shown. */
export function movedAcross(scene: Scene, unit: string, start: number, dx: number, perPixel: number): number {
  const line = scene.units[unit] ?? { factor: 1, offset: 0 };
  const shown = (start + dx * perPixel - line.offset) / line.factor;
  return rounded(shown, Math.abs(perPixel / line.factor)) * line.factor + line.offset;
}

function rounded(value: number, pixel: number): number {
  const step = niceBelow(Math.max(pixel, 1e-12));
  return Math.round(value / step) * step;
}
