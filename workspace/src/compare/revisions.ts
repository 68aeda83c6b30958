// The revisions to choose from, and what comparing two of them answers.
import { get, inPath, post } from '../api/rest';
import type { components } from '../api/schema';
import { CLIENT, live, unique } from '../state/live.svelte';

export type RevisionEntry = components['schemas']['RevisionTold'];
export type InputChange = components['schemas']['Change'];
export type VerdictChange = components['schemas']['VerdictChange'];
export type Comparison = components['schemas']['Comparison'];

export function revisionsOf(hole: string, before?: number): Promise<RevisionEntry[]> {
  return get(`/holes/${inPath(hole)}/revisions${before === undefined ? '' : `?before=${before}`}`);
}

export interface Look { step: string; units: string; datum: string }

export function comparison(hole: string, then: number, now: number, { step, units, datum }: Look): Promise<Comparison> {
  const asked = new URLSearchParams({ then: String(then), now: String(now), step, units, datum });
  return get(`/holes/${inPath(hole)}/compare?${asked.toString()}`);
}

/** What was changed between two revisions of which one cannot be walked, and why it cannot. */
export type InputsCompared = components['schemas']['InputsCompared'];

export function inputsAlone(hole: string, then: number, now: number): Promise<InputsCompared> {
  return get(`/holes/${inPath(hole)}/compare/inputs?then=${then}&now=${now}`);
}

/** The revision that stood before `author` last changed something: a drag counts as one change. */
export function beforeLastChange(newestFirst: RevisionEntry[], author: string): RevisionEntry | undefined {
  const at = newestFirst.findIndex((one) => one.author === author);
  const gesture = newestFirst[at]?.gesture;
  if (at < 0) return undefined;
  return newestFirst.slice(at + 1).find((one) => !gesture || one.gesture !== gesture);
}

/** The revisions to choose from: of a drag its end alone, unless what it went through is signed or chosen. */
export function ends(newestFirst: RevisionEntry[], chosen: (number | null)[]): RevisionEntry[] {
  return newestFirst.filter((one, i) => !one.gesture || newestFirst[i - 1]?.gesture !== one.gesture || one.signed_by.length || chosen.includes(one.number));
}

export function lastSigned(newestFirst: RevisionEntry[]): RevisionEntry | undefined {
  return newestFirst.find((one) => one.signed_by.length);
}

/** When a revision was made, as the reader's clock says it. */
export function when(at: string): string {
  const time = new Date(at);
  return Number.isNaN(time.getTime()) ? at : time.toLocaleString('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });
}

export function entryText(one: RevisionEntry): string {
  const signed = one.signed_by.length ? ` · signed by ${one.signed_by.join(', ')}` : '';
  return `${one.number} · ${when(one.at)} · ${one.author}${one.label ? ` · ${one.label}` : ''}${signed}`;
}

/** Make a new revision that is like an earlier one. */
export function goBackTo(hole: string, number: number): Promise<{ revision: number }> {
  return post(`/holes/${inPath(hole)}/restore`, { number, base: live.pictured, token: unique(), client: CLIENT });
}
