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

/** A change in words. */
export function inWords({ written }: Change): string {
  const { step = '', insert_after, wait, duration, move_after, remove } = written;
  if (insert_after !== undefined) return `wait ${wait ?? ''}, ${duration ?? ''}, after ${insert_after}`;
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
  const inserted = there.findLast(({ written }) => written['wait'] === step);
  const known = before ?? inserted;
  if (!known) return adding({ step, duration, why }, there);
  return [
    { op: 'set', key: `${known.key}.duration`, text: duration },
    { op: 'set', key: `${known.key}.why`, text: why },
  ];
}

export function takingBack(change: Change, there: Change[]): Edit[] {
  return [{ op: 'remove', key: there.length === 1 ? LIST : change.key }];
}

/** What is wrong with the typed values themselves. That the plan cannot be done with them is no
 * mistyping: such a change is made and shown. */
export async function mistyped(hole: string, edits: Edit[]): Promise<Fault[]> {
  const { faults } = await post<{ faults: Fault[] }>(`/holes/${inPath(hole)}/validate`, { edits });
  return faults.filter((one) => one.where.includes(LIST) && /\.(duration|wait|why)$/.test(one.where));
}
