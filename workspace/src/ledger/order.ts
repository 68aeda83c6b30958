// Which rows are shown and in which order. Nothing is judged here.
import type { LedgerRow, Status, StepMark } from '../api/types';

/** What the reader must see first: failures, then what nobody has judged, then what is close. */
export const STATUSES: Status[] = ['fails', 'not judged', 'outside validity', 'tight', 'holds'];

export type Sort = 'urgency' | 'margin' | 'work' | 'depth';
export const SORTS: { id: Sort; label: string }[] = [
  { id: 'urgency', label: 'urgent first' },
  { id: 'margin', label: 'least margin' },
  { id: 'work', label: 'order of work' },
  { id: 'depth', label: 'by depth' },
];

export type Scope = 'step' | 'section' | 'hole';

export function inScope(rows: LedgerRow[], scope: Scope, step: StepMark | undefined, steps: StepMark[]): LedgerRow[] {
  if (scope === 'hole' || !step) return rows;
  if (scope === 'step') return rows.filter((row) => row.step === step.name);
  const names = new Set(steps.filter((one) => one.section === step.section).map((one) => one.name));
  return rows.filter((row) => names.has(row.step));
}

export function counted(rows: LedgerRow[]): Record<Status, number> {
  const counts: Record<Status, number> = { fails: 0, 'not judged': 0, 'outside validity': 0, tight: 0, holds: 0 };
  for (const row of rows) counts[row.status] += 1;
  return counts;
}

export interface Wanted { statuses: Status[]; disciplines: string[]; text: string }

export function filtered(rows: LedgerRow[], { statuses, disciplines, text }: Wanted): LedgerRow[] {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  return rows.filter(
    (row) =>
      (!statuses.length || statuses.includes(row.status)) &&
      (!disciplines.length || disciplines.includes(row.discipline)) &&
      words.every((word) => haystack(row).includes(word)),
  );
}

// rows are replaced, never changed: what was put together for one stays true
const stacks = new WeakMap<LedgerRow, string>();
function haystack(row: LedgerRow): string {
  let text = stacks.get(row);
  if (text === undefined) {
    text = [row.id, row.check.replaceAll('-', ' '), row.question, row.discipline, row.section, row.reason, row.remedy, row.caution, row.note].join(' ').toLowerCase();
    stacks.set(row, text);
  }
  return text;
}

export function sorted(rows: LedgerRow[], sort: Sort, steps: StepMark[]): LedgerRow[] {
  const order = new Map(steps.map((one) => [one.name, one.index]));
  const urgency = (row: LedgerRow): number => STATUSES.indexOf(row.status);
  const work = (row: LedgerRow): number => order.get(row.step) ?? steps.length;
  const margin = (row: LedgerRow): number => row.margin ?? 0;
  const last = (value: number | null): number => value ?? Infinity;
  // rows come in the order of the edits that made them: what is alike in all else stands by its name
  const name = (a: LedgerRow, b: LedgerRow): number => (a.id < b.id ? -1 : Number(a.id > b.id));
  const by: Record<Sort, (a: LedgerRow, b: LedgerRow) => number> = {
    urgency: (a, b) => urgency(a) - urgency(b) || margin(a) - margin(b) || work(a) - work(b),
    margin: (a, b) => difference(last(a.margin), last(b.margin)) || urgency(a) - urgency(b) || work(a) - work(b),
    work: (a, b) => work(a) - work(b) || urgency(a) - urgency(b) || margin(a) - margin(b),
    depth: (a, b) => difference(last(a.z), last(b.z)) || urgency(a) - urgency(b) || margin(a) - margin(b),
  };
  return [...rows].sort((a, b) => by[sort](a, b) || name(a, b));
}

function difference(a: number, b: number): number {
  return a === b ? 0 : a - b; // Infinity less itself is no number
}
