// How each kind of line is drawn everywhere in the workspace, and what it is called. No line is told
// from another by its colour alone: dashes or width differ too.

export interface Stroke { label: string; colour: string; width: number; dash: string }

const line = (label: string, colour: string, width: number, dash = ''): Stroke => ({ label, colour, width, dash });

/** Lines of the window, in the order of the legend. */
export const WINDOW: Record<string, Stroke> = {
  pore: line('pore', 'var(--pore)', 1.8),
  needed: line('needed', 'var(--pore)', 0.9),
  collapse: line('collapse', 'var(--collapse)', 1.5, '1.5 2.5'),
  fracture: line('fracture', 'var(--fracture)', 1.8, '9 3'),
  borne: line('borne', 'var(--fracture)', 0.9, '9 3'),
  at_rest: line('at rest', 'var(--mud)', 2.6),
  circulating: line('circul.', 'var(--circulating)', 1.7, '6 2.5 1.5 2.5'),
  cementing: line('cement', 'var(--cementing)', 1.7, '3 2'),
};

/** What the short words of the legend stand for. */
export const WINDOW_WORDS: Record<string, string> = {
  pore: 'pore pressure of the rock',
  needed: 'what the mud must reach: pore pressure with its margin',
  collapse: 'pressure below which the wall of the hole caves in',
  fracture: 'pressure at which the rock fractures',
  borne: 'what the mud may reach: fracture pressure less its margin',
  at_rest: 'mud at rest',
  circulating: 'mud while circulating',
  cementing: 'greatest pressure while the cement is placed',
};

const COLOURS = ['--ink', '--fracture', '--pore', '--circulating', '--collapse', '--cementing'];
const DASHES = ['', '8 3', '2 2.5', '6 2.5 1.5 2.5', '10 2.5 2 2.5 2 2.5', '4 4', '1 3'];

/** The line of the n-th curve of a temperature or strength track; the first 42 all differ. */
export function profileStroke(n: number, label: string): Stroke {
  return line(label, `var(${COLOURS[n % COLOURS.length]})`, n === 0 ? 1.9 : 1.5, DASHES[n % DASHES.length]);
}
