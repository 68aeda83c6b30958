// Lithologic patterns in our own strokes after the public geologic-map symbol standard
// FGDC-STD-013-2006, section 37: dashes for clay, dots for sand, bricks for limestone and so on.

const WIDTH = 24; // px of a tile; every pitch divides it
const ROW = 7; // px between rows

interface Strokes { lines: string[]; dots: string[] }
type Row = (out: Strokes, x: number, y: number, pitch: number) => void;

const dash = (out: Strokes, x: number, y: number, length: number): number => out.lines.push(`M${x} ${y}h${length}`);
const dot = (out: Strokes, x: number, y: number): number => out.dots.push(`M${x} ${y}h0`);

const brick =
  (lean: number, inner = false): Row =>
  (out, x, y, pitch) => {
    const top = y - ROW / 2;
    out.lines.push(`M${x} ${top}h${pitch}`, `M${x + lean} ${top}L${x - lean} ${top + ROW}`);
    if (inner) dash(out, x + 3.5, y, 5);
  };

// pitch of a row's figures, and one figure at x on the middle line y
const KINDS: Record<string, [number, Row]> = {
  clay: [12, (out, x, y) => dash(out, x, y, 7)],
  silt: [12, (out, x, y) => { dash(out, x, y, 4.5); dot(out, x + 7, y); dot(out, x + 9.5, y); }],
  sand: [6, (out, x, y) => dot(out, x + 1.5, y)],
  gravel: [12, (out, x, y) => { out.lines.push(`M${x} ${y}a3 1.9 0 1 0 6 0a3 1.9 0 1 0 -6 0`); dot(out, x + 9, y); }],
  limestone: [12, brick(0)],
  dolomite: [12, brick(1.6)],
  marl: [12, brick(0, true)],
  salt: [6, (out, x, y) => out.lines.push(`M${x} ${y - ROW / 2}h6`, `M${x} ${y - ROW / 2}v${ROW}`)],
  ooze: [12, (out, x, y) => out.lines.push(`M${x} ${y}q2.5 -3.6 5 0`)],
  crosses: [12, (out, x, y) => out.lines.push(`M${x} ${y}h5`, `M${x + 2.5} ${y - 2.5}v5`)],
  basalt: [12, (out, x, y) => out.lines.push(`M${x} ${y - 2.5}v5h5`)],
  gabbro: [8, (out, x, y) => out.lines.push(`M${x} ${y - 2}l4 4`, `M${x} ${y + 2}l4 -4`)],
  serpentine: [12, (out, x, y) => out.lines.push(`M${x} ${y}q2 -3.6 4 0t4 0`)],
  foliated: [12, (out, x, y) => out.lines.push(`M${x} ${y}q3 -3 6 0t6 0`)],
  tuff: [8, (out, x, y) => out.lines.push(`M${x} ${y - 2}l2 4l2 -4`)],
};

export interface Tile { key: string; width: number; height: number; lines: string; dots: string }

const tiles = new Map<string, Tile | null>();

/** The tile of one rock; of several kinds by turns, row by row. */
export function tile(patterns: readonly string[]): Tile | null {
  const key = patterns.join('-');
  if (!tiles.has(key)) tiles.set(key, drawnTile(patterns));
  return tiles.get(key) ?? null;
}

function drawnTile(patterns: readonly string[]): Tile | null {
  const known = patterns.filter((one) => KINDS[one]);
  if (!known.length) return null;
  const out: Strokes = { lines: [], dots: [] };
  const rows = 2 * known.length;
  for (let n = 0; n < rows; n++) {
    const [pitch, draw] = KINDS[known[n % known.length]!]!;
    const shift = Math.floor(n / known.length) % 2 ? pitch / 2 : 0;
    for (let x = shift - pitch; x < WIDTH + pitch; x += pitch) draw(out, x, (n + 0.5) * ROW, pitch);
  }
  return { key: known.join('-'), width: WIDTH, height: rows * ROW, lines: out.lines.join(''), dots: out.dots.join('') };
}

/** The custom property that tints a rock of a pattern; patterns alone tell rocks apart. */
export function tint(pattern: string): string {
  if (['sand', 'gravel'].includes(pattern)) return 'var(--rock-sandy)';
  if (['limestone', 'dolomite', 'marl', 'ooze'].includes(pattern)) return 'var(--rock-chalky)';
  if (['salt'].includes(pattern)) return 'var(--rock-salty)';
  if (['clay', 'silt'].includes(pattern)) return 'var(--rock-muddy)';
  return pattern ? 'var(--rock-hard)' : 'var(--rock)';
}
