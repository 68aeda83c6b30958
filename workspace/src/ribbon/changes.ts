// Changes to the derived steps: those in the plan, and the edits that make or take back one.
import { get, inPath, post } from '../api/rest';
import type { Edit, Fault } from '../api/types';

const LIST = 'plan.step_edits';

/** One change as the document has it; the values are as written there. */
export interface Change {
  key: string;
  written: Record<string, string>;
}

interface Group { key: string; fields: { key: string; written: string; given: boolean }[]; groups: Group[] }

export async function changesOf(hole: string): Promise<Change[]> {
  const form = await get<{ root: Group }>(`/holes/${inPath(hole)}/inputs`);
  const list = find(form.root);
  return (list?.groups ?? []).map((item) => ({
    key: item.key,
    written: Object.fromEntries(item.fields.filter((one) => one.given).map((one) => [one.key.slice(item.key.length + 1), one.written])),
  }));
}

function find(group: Group): Group | undefined {
  if (group.key === LIST) return group;
  for (const below of group.groups) {
    if (LIST.startsWith(below.key) || below.key === '') {
      const found = find(below);
      if (found) return found;
    }
  }
  return undefined;
}

/** What the user knows of a step to be inserted, as typed. */
export interface Insertion {
  insert: string;
  name: string;
  lasts: 'clean' | 'bottoms_up' | 'duration'; // of circulating only
  duration: string;
  bottoms_up: string;
  flow_rate: string;
  test_pressure: string;
}

/** What can be inserted, and what it is for; the words are those of the document. */
export const INSERTS: Record<string, { label: string; name: string }> = {
  wait: { label: 'Wait', name: 'wait-on-daylight' },
  circulate: { label: 'Circulate', name: 'clean-up' },
  'wiper trip': { label: 'Wiper trip', name: 'wiper-trip' },
  'logging run': { label: 'Logging run', name: 'logs' },
  'preventer test': { label: 'Preventer test', name: 'preventer-test' },
  'casing test': { label: 'Casing test', name: 'casing-test' },
};

export const nothingYet = (): Insertion => ({ insert: 'wait', name: '', lasts: 'clean', duration: '', bottoms_up: '', flow_rate: '', test_pressure: '' });

/** Whether a step of this kind tells how long it takes; of the others it follows. */
export const tellsTime = (one: Insertion): boolean => one.insert === 'circulate' ? one.lasts === 'duration' : ['wait', 'logging run', 'casing test'].includes(one.insert);

/** An insertion as the document writes it: only what its kind has and what was told. */
export function written(one: Insertion): Record<string, string> {
  const told: Record<string, string> = { insert: one.insert, name: one.name };
  const give = (key: 'duration' | 'bottoms_up' | 'flow_rate' | 'test_pressure') => { if (one[key].trim()) told[key] = one[key].trim(); };
  if (tellsTime(one)) give('duration');
  if (one.insert === 'circulate') { if (one.lasts === 'bottoms_up') give('bottoms_up'); give('flow_rate'); }
  if (one.insert === 'casing test') give('test_pressure');
  return told;
}

/** The insertion of a change that there is. */
export const asInserted = ({ written: told }: Change): Insertion => ({
  ...nothingYet(), ...told, lasts: told['duration'] !== undefined ? 'duration' : told['bottoms_up'] !== undefined ? 'bottoms_up' : 'clean',
});

/** A change in words. */
export function inWords({ written: told }: Change): string {
  const { step = '', insert_after, insert = '', name = '', duration, bottoms_up, flow_rate, test_pressure, move_after, remove } = told;
  if (insert_after !== undefined) {
    const lasts = duration ?? (bottoms_up !== undefined ? `${bottoms_up} bottoms-up` : insert === 'circulate' ? 'until clean' : '');
    return [`${insert} ${name}`, lasts, flow_rate, test_pressure].filter(Boolean).join(', ') + `, after ${insert_after}`;
  }
  if (remove === 'true') return `leave out ${step}`;
  const done = [duration && `takes ${duration}`, move_after && `comes after ${move_after}`].filter(Boolean);
  return `${step} ${done.join(' and ')}`;
}

/** The edits that add a change behind those there are; they act in this order. */
export function adding(content: Record<string, unknown>, there: Change[]): Edit[] {
  return there.length
    ? [{ op: 'insert', key: `${LIST}[${there.length}]`, content }]
    : [{ op: 'put', key: LIST, content: [content] }];
}

/** The edits that give a step another duration: one that was set before is set anew. */
export function lasting(step: string, duration: string, why: string, there: Change[]): Edit[] {
  const before = there.findLast(({ written }) => written['step'] === step && written['duration'] !== undefined);
  // of a wait, that is the whole step; of other kinds trips and trouble come on top of what is told
  const inserted = there.findLast(({ written }) => written['name'] === step && written['insert'] === 'wait');
  const known = before ?? inserted;
  if (!known) return adding({ step, duration, why }, there);
  return [
    { op: 'set', key: `${known.key}.duration`, text: duration },
    { op: 'set', key: `${known.key}.why`, text: why },
  ];
}

/** The change that has put a step where none follows from the plan. */
export const insertionOf = (step: string, there: Change[]): Change | undefined => there.findLast(({ written: told }) => told['insert_after'] !== undefined && told['name'] === step);

/** The edits that tell an inserted step anew. */
export const telling = (change: Change, one: Insertion, why: string): Edit[] => [
  { op: 'put', key: change.key, content: { insert_after: change.written['insert_after'], ...written(one), why } },
];

export function takingBack(change: Change, there: Change[]): Edit[] {
  return [{ op: 'remove', key: there.length === 1 ? LIST : change.key }];
}

/** What is wrong with the typed values themselves. That the plan cannot be done with them is no
 * mistyping: such a change is made and shown. */
export async function mistyped(hole: string, edits: Edit[]): Promise<Fault[]> {
  const { faults } = await post<{ faults: Fault[] }>(`/holes/${inPath(hole)}/validate`, { edits });
  return faults.filter((one) => one.where.includes(LIST) && /\.(duration|name|flow_rate|bottoms_up|test_pressure|why)$|step_edits\[\d+\]$/.test(one.where));
}
