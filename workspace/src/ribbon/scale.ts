// Where steps stand on the ribbon. To scale, a step too short to be hit is drawn wider than its
// time and marked; evenly, all are as wide as each other.
import type { StepMark } from '../api/types';

export const DAY = 86400;
export const LEAST_WIDTH = 28; // px: a target that a finger and an eye can hit

export type Scale = 'time' | 'even';

export interface Box {
  step: StepMark;
  left: number;
  width: number;
  /** Drawn wider than its time. */
  stretched: boolean;
}
export interface Run { section: string; left: number; width: number; boxes: Box[] }
export interface Tick { left: number; day: number }

/** Give every step its place on `room` pixels; the ribbon may come out wider than that. */
export function boxes(steps: StepMark[], room: number, scale: Scale): Box[] {
  const width = Math.max(room, steps.length * LEAST_WIDTH);
  const perSecond = scale === 'time' ? timeScale(steps, width) : 0;
  let left = 0;
  return steps.map((step) => {
    const wanted = (step.duration ?? 0) * perSecond;
    const stretched = scale === 'time' && wanted < LEAST_WIDTH;
    const box = { step, left, width: scale === 'even' ? width / steps.length : stretched ? LEAST_WIDTH : wanted, stretched };
    left += box.width;
    return box;
  });
}

/** Pixels per second that fill `width` once every short step has taken its least width. */
function timeScale(steps: StepMark[], width: number): number {
  const longestFirst = steps.map((one) => one.duration ?? 0).sort((a, b) => b - a);
  let time = longestFirst.reduce((sum, one) => sum + one, 0);
  let room = width;
  for (let i = longestFirst.length - 1; i >= 0; i--) {
    const shortest = longestFirst[i] ?? 0;
    if (time > 0 && shortest * (room / time) >= LEAST_WIDTH) return room / time;
    room -= LEAST_WIDTH;
    time -= shortest;
  }
  return 0;
}

/** Steps of one section that follow each other, under one heading. */
export function runs(all: Box[]): Run[] {
  const found: Run[] = [];
  for (const box of all) {
    const last = found.at(-1);
    if (last && last.section === box.step.section) {
      last.width += box.width;
      last.boxes.push(box);
    } else {
      found.push({ section: box.step.section, left: box.left, width: box.width, boxes: [box] });
    }
  }
  return found;
}

/** Whole days from arrival where they fall, no two closer than `apart` pixels. */
export function ticks(all: Box[], apart = 44): Tick[] {
  const last = all.at(-1);
  if (!last) return [];
  const days = last.step.end / DAY;
  const every = [1, 2, 5, 10, 20, 50, 100, 200].find((one) => (days / one) * apart <= last.left + last.width) ?? 500;
  const found: Tick[] = [];
  for (let day = 0; day <= days; day += every) {
    const left = placeOf(all, day * DAY);
    const before = found.at(-1);
    if (left < last.left + last.width - 20 && (!before || left - before.left >= apart)) found.push({ left, day });
  }
  return found;
}

function placeOf(all: Box[], time: number): number {
  const box = all.find((one) => time <= one.step.end) ?? all.at(-1);
  if (!box) return 0;
  const long = box.step.end - box.step.start;
  return box.left + box.width * (long > 0 ? Math.min(1, Math.max(0, (time - box.step.start) / long)) : 0);
}

const LETTER = 6.8; // px of a letter of a name in its box
const SIGN = 24; // px that the verdict's sign takes of it

/** As much of a title as stands on two lines of a box, no word cut; empty where no word fits. */
export function named(title: string, width: number): string {
  const room = Math.floor((width - SIGN) / LETTER);
  const lines = [''];
  for (const word of title.split(' ')) {
    const joined = `${lines.at(-1)} ${word}`.trimStart();
    if (joined.length <= room) lines[lines.length - 1] = joined;
    else if (word.length <= room && lines.length < 2) lines.push(word);
    else return `${lines.join(' ')}${lines[0] && lines.at(-1)!.length + 2 <= room ? '…' : ''}`;
  }
  return lines.join(' ');
}

/** The step under a place on the ribbon. */
export function boxAt(all: Box[], left: number): Box | undefined {
  return all.find((one) => left < one.left + one.width) ?? all.at(-1);
}
