// A check opened up, as GET /holes/{hole}/checks/{step}/{check} answers it.
import type { components } from '../api/schema';

export type ShownValue = components['schemas']['ShownValue'];
export type ShownLimit = components['schemas']['ShownLimit'];
/** A published equation as it was used. */
export type WorkingNote = components['schemas']['WorkingNote'];
/** A value found by a solver or by arithmetic. */
export type SolutionNote = components['schemas']['SolutionNote'];
export type Note = WorkingNote | SolutionNote;
export type Explanation = components['schemas']['Explanation'];

export function isEquation(note: Note): note is WorkingNote {
  return 'equation' in note;
}

export function inWords(name: string): string {
  return name.replaceAll('_', ' ').replaceAll('-', ' ');
}

/** The nearest working first: the last one worked out is the one the verdict rests on. */
export function nearestFirst(notes: Note[]): Note[] {
  return [...notes].reverse();
}

/** The number of the working that a value came from, if it came from one. */
export function workingOf(origin: string): number | null {
  const found = /^from working (\d+)$/.exec(origin);
  return found ? Number(found[1]) : null;
}

/** Nobody published it and the user did not write it: the reader must see that at a glance. */
export function isAssumed(origin: string): boolean {
  return /\bassumed\b/i.test(origin);
}
