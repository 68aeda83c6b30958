// The scales across the tracks: from what to what, and which round numbers stand on them.
import type { Scene } from '../api/types';
import { pretty, shownNumber, unitLabel } from '../format';
import { ticksAcross, type Range } from './axis';
import { widest } from './bore';
import type { Quantity } from './columnView.svelte';
import { holeLayout } from './holeLayout';
import { fromInches, toInches } from './inches';
import type { TrackId } from './layout';
import type { Span } from './windowSpan';

export interface Mark { x: number; text: string }

const LABEL = 40; // px that a number takes, with room beside it

/** Round numbers in the unit shown, along a track. */
export function marksAcross(scene: Scene, span: Span, unit: string, width: number): Mark[] {
  return numbersAcross(shownNumber(scene, span.low, unit), shownNumber(scene, span.high, unit), width);
}

/** Round numbers along a track; on a narrow one up to its borders and closer than else, for one number alone is no scale. */
export function numbersAcross(low: number, high: number, width: number): Mark[] {
  const marks = (most: number, room: (text: string) => number): Mark[] =>
    ticksAcross(low, high, most)
      .map((value) => ({ x: ((value - low) / (high - low)) * width, text: pretty(value, 6) }))
      .filter(({ x, text }) => x >= room(text) && x <= width - room(text));
  const usual = marks(width / LABEL, half);
  if (usual.length > 1) return usual;
  const closer = [1, 2, 3, 4, 6].map((more) => marks((more * width) / LABEL, () => 2)).filter((all) => apart(all, width));
  return closer.find((all) => all.length > 1) ?? closer.find((all) => all.length) ?? usual;
}

const half = (text: string): number => 3.1 * text.length; // px, of a number as drawn

/** Where the middle of a number stands: at its mark, or as near as the track's borders let it. */
export const middle = ({ x, text }: Mark, width: number): number => Math.max(half(text), Math.min(x, width - half(text)));

const apart = (all: Mark[], width: number): boolean =>
  all.every((one, i) => i === 0 || middle(one, width) - middle(all[i - 1]!, width) > half(one.text) + half(all[i - 1]!.text) + 1);

export function marksOfShare(span: Span, width: number): Mark[] {
  return ticksAcross(0, 100 * span.high, width / 26).map((value) => ({ x: (value / 100 / span.high) * width, text: `${value}` })).filter((mark) => mark.x >= 4 && mark.x <= width - 10);
}

export function marksOfInches(greatest: number, width: number): Mark[] {
  const high = toInches(greatest);
  return ticksAcross(0, high, width / 26)
    .map((value) => ({ x: (value / high) * width, text: `${value}` }))
    .filter((mark) => mark.x >= 4 && mark.x <= width - 6);
}

/** The greatest diameter of the budget, with some room. */
export const budgetSpan = (scenes: readonly Scene[]): number =>
  1.06 * Math.max(0.1, ...scenes.flatMap((one) => one.budget.bars.map((bar) => Math.max(bar.hole_diameter, bar.outside_diameter))));

const FULL = [8, 14, 20, 28, 40, 60, 90]; // inches that the track may be wide: few, so that it seldom jumps

/** Pixels of one metre of diameter in the hole track: what is in view fills it. */
export function diameterScale(scenes: readonly Scene[], width: number, range: Range): number {
  const most = toInches(Math.max(...scenes.map((one) => widest(one.section, range.top, range.bottom))));
  return (2 * holeLayout(width).half) / fromInches(FULL.find((one) => one >= most) ?? most);
}

/** Both sides of the hole's middle, marked with the diameter they stand for. */
export function marksOfHole(perMetre: number, width: number): Mark[] {
  const { centre, half } = holeLayout(width);
  const inch = fromInches(1) * perMetre;
  const step = [2, 4, 6, 10, 20, 40].find((one) => (one / 2) * inch >= 15) ?? 40;
  return [-1, 1].filter(() => 0.5 * step * inch <= half + 4).map((side) => ({ x: centre + 0.5 * side * step * inch, text: `${step}″` }));
}

/** What the numbers across a track are. */
export function quantityWords(scene: Scene, id: TrackId, quantity: Quantity): string {
  switch (id) {
    case 'window':
      return quantity === 'density'
        ? `equivalent density to the ${scene.window.datum} [${unitLabel(scene, 'kg/m3')}]`
        : `gauge pressure [${unitLabel(scene, 'Pa')}]`;
    case 'temperature':
      return `[${unitLabel(scene, 'K')}]`;
    case 'strength':
      return 'of what the steel may bear [%]';
    case 'budget':
      return 'diameter [in]';
    default:
      return '';
  }
}
