// Wheel, drag, pinch and click on the drawing itself.

export interface Gestures {
  zoom: (about: number, factor: number) => void;
  pan: (pixels: number) => void;
  click: (x: number, y: number) => void;
  hover: (y: number | null) => void;
  /** Left of this the wheel zooms without a key. */
  axisWidth: () => number;
}

const SLACK = 4; // px before a press becomes a drag
const STEP = 0.0016; // of a wheel's pixel

export function gestures(does: Gestures) {
  return (node: HTMLElement): (() => void) => {
    const fingers = new Map<number, { x: number; y: number }>();
    let began: { x: number; y: number; last: number } | null = null;
    let panning = false;
    let apart = 0;

    const local = (event: MouseEvent): { x: number; y: number } => {
      const box = node.getBoundingClientRect();
      return { x: event.clientX - box.left, y: event.clientY - box.top };
    };
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const at = local(event);
      const pixels = event.deltaMode === 1 ? event.deltaY * 30 : event.deltaY;
      if (event.ctrlKey || event.metaKey || at.x <= does.axisWidth()) {
        does.zoom(at.y, Math.exp(pixels * STEP * (event.ctrlKey && Math.abs(pixels) < 30 ? 6 : 1)));
      } else does.pan(pixels);
    };
    const down = (event: PointerEvent): void => {
      if (event.button !== 0 || (event.target as Element).closest('button, input, [data-own]')) return;
      const at = local(event);
      fingers.set(event.pointerId, at);
      node.setPointerCapture(event.pointerId);
      if (fingers.size === 1) {
        began = { ...at, last: at.y };
        panning = false;
      } else {
        began = null;
        apart = gap();
      }
    };
    const move = (event: PointerEvent): void => {
      const at = local(event);
      if (event.pointerType === 'mouse' || fingers.size === 1) does.hover(at.y);
      if (!fingers.has(event.pointerId)) return;
      fingers.set(event.pointerId, at);
      if (fingers.size === 2) {
        const now = gap();
        const [a, b] = [...fingers.values()];
        if (now > 8 && apart > 8) does.zoom(0.5 * (a!.y + b!.y), apart / now);
        apart = now;
      } else if (began) {
        if (!panning && Math.hypot(at.x - began.x, at.y - began.y) < SLACK) return;
        panning = true;
        does.pan(began.last - at.y);
        began.last = at.y;
      }
    };
    const up = (event: PointerEvent): void => {
      fingers.delete(event.pointerId);
      if (began && !panning && event.type === 'pointerup') does.click(began.x, began.y);
      began = null;
    };
    const gap = (): number => {
      const [a, b] = [...fingers.values()];
      return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
    };
    const leave = (): void => does.hover(null);

    node.addEventListener('wheel', wheel, { passive: false });
    node.addEventListener('pointerdown', down);
    node.addEventListener('pointermove', move);
    node.addEventListener('pointerup', up);
    node.addEventListener('pointercancel', up);
    node.addEventListener('pointerleave', leave);
    return () => {
      node.removeEventListener('wheel', wheel);
      node.removeEventListener('pointerdown', down);
      node.removeEventListener('pointermove', move);
      node.removeEventListener('pointerup', up);
      node.removeEventListener('pointercancel', up);
      node.removeEventListener('pointerleave', leave);
    };
  };
}
