// A check opened up, as GET /holes/{hole}/checks/{step}/{check} answers it.
export interface ShownValue { name: string; meaning: string; symbol: string; unit: string; text: string; origin: string }
export interface ShownLimit { name: string; text: string; reason: string; kept: boolean }

interface NoteParts { number: number; inputs: ShownValue[]; result: ShownValue; source: string }
/** A published equation as it was used. */
export interface WorkingNote extends NoteParts {
  equation: string; summary: string; formula: string; with_numbers: string; where: string;
  limits: ShownLimit[]; outside: string[]; validity_note: string; caution: string;
}
/** A value found by a solver or by arithmetic. */
export interface SolutionNote extends NoteParts { problem: string; how: string; residual: number | null }
export type Note = WorkingNote | SolutionNote;

export interface Explanation {
  id: string; step: string; check: string; discipline: string; question: string; verdict: string; reason: string;
  demand: ShownValue | null; capacity: ShownValue | null; margin: number | null; margin_text: string; depth: string;
  steps: Note[]; cautions: string[]; remedy: string; note: string;
}

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
