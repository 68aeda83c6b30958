// Which verdict's working opens when something in the drawing is clicked.
import type { LedgerRow, Scene, Status } from '../api/types';

/** What was clicked: where, of which section or string, and the checks that answer for it. */
export interface Asked { z: number; section: string; about: string; checks: string[]; disciplines: string[] }

const URGENCY: Status[] = ['fails', 'not judged', 'outside validity', 'tight', 'holds'];

/** Checks that answer for a line of the window, best first. */
const OF_CURVE: Record<string, string[]> = {
  pore: ['window-low', 'swab'],
  needed: ['window-low', 'swab'],
  collapse: ['window-collapse'],
  fracture: ['window-high', 'surge', 'kick-tolerance', 'shoe-test'],
  borne: ['window-high', 'window-high-static'],
  at_rest: ['window-high-static', 'window-low'],
  circulating: ['window-high'],
  cementing: ['placing-high'],
};

export const askCurve = (kind: string, section: string, z: number): Asked => ({
  z, section, about: '', checks: OF_CURVE[kind] ?? [], disciplines: [kind === 'cementing' ? 'cement' : 'window'],
});

export const askSteel = (name: string, z: number): Asked => ({ z, section: '', about: name, checks: [], disciplines: ['steel', 'soil'] });

export const askString = (name: string, z: number): Asked => ({
  z, section: '', about: name, checks: ['string-tension', 'string-fits', 'hook-load'], disciplines: ['steel'],
});

export const askOther = (z: number, checks: string[], disciplines: string[], about = ''): Asked => ({
  z, section: '', about, checks, disciplines,
});

/** The nearest verdict in depth, of whatever is asked there; the chosen step's and the urgent first. */
export function nearest(scene: Scene, rows: readonly LedgerRow[], z: number): string {
  const span = Math.max(scene.bottom - scene.top, 1);
  const cost = (row: LedgerRow): number =>
    (40 * Math.abs(row.z! - z)) / span + (row.step === scene.step ? 0 : 1) + 0.5 * URGENCY.indexOf(row.status);
  return rows.filter((row) => row.z !== null).reduce((a, b) => (a.id && cost(a) <= cost(b) ? a : b), { id: '' } as LedgerRow).id;
}

/** The nearest verdict: of the check asked for, the string, the chosen step, the section, the depth. */
export function working(scene: Scene, rows: readonly LedgerRow[], asked: Asked): string {
  const step = scene.steps.find((one) => one.name === scene.step);
  const section = asked.section || step?.section || '';
  const span = Math.max(scene.bottom - scene.top, 1);
  let best = '';
  let least = Infinity;
  for (const row of rows) {
    const wanted = asked.checks.indexOf(row.check);
    if (wanted < 0 && !(asked.disciplines.includes(row.discipline) && (asked.checks.length === 0 || asked.about))) continue;
    const far = row.z === null ? 1 : Math.abs(row.z - asked.z) / span;
    const cost =
      (wanted < 0 ? 8 : wanted) +
      (asked.about && !row.step.endsWith(asked.about) ? 20 : 0) +
      (asked.section && row.section !== asked.section ? 12 : 0) +
      (row.step === scene.step ? 0 : 4) +
      (row.section === section ? 0 : 2) +
      0.5 * URGENCY.indexOf(row.status) +
      3 * far;
    if (cost < least) [best, least] = [row.id, cost];
  }
  return best;
}
