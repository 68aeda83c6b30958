// Which tracks stand side by side, and how wide each is.

export type TrackId = 'axis' | 'rock' | 'window' | 'hole' | 'temperature' | 'strength' | 'budget';

interface TrackKind { id: TrackId; title: string; short?: string; least: number; weight: number; fixed?: boolean }

export const TRACKS: TrackKind[] = [
  { id: 'axis', title: 'Depth', least: 68, weight: 0, fixed: true },
  { id: 'rock', title: 'Rock', least: 102, weight: 0.7 },
  { id: 'window', title: 'Window', least: 196, weight: 2.2 },
  { id: 'hole', title: 'Hole', least: 208, weight: 2 },
  { id: 'temperature', title: 'Temperature', short: 'Temp.', least: 50, weight: 0.6 },
  { id: 'strength', title: 'Strength used', short: 'Strength', least: 82, weight: 1 },
  { id: 'budget', title: 'Diameters', short: 'Diam.', least: 70, weight: 0.9 },
];

/** What gives way first where the tracks do not fit. */
const GIVES_WAY: TrackId[] = ['budget', 'temperature', 'strength', 'rock', 'hole'];
const MOST = 2.6; // times its share that a track may be pulled to

export interface Placed { id: TrackId; title: string; x: number; width: number }

export interface Arranged { placed: Placed[]; left: TrackId[] }

/** The tracks asked for, from left to right; `left` are those there was no room for. */
export function arrange(width: number, wanted: readonly TrackId[], shares: Partial<Record<TrackId, number>>): Arranged {
  const kinds = TRACKS.filter((one) => one.fixed || wanted.includes(one.id));
  const left: TrackId[] = [];
  const needed = (): number => kinds.reduce((sum, one) => sum + one.least, 0);
  for (const id of GIVES_WAY) {
    if (needed() <= width || kinds.length <= 2) break;
    const at = kinds.findIndex((one) => one.id === id);
    if (at >= 0) left.push(...kinds.splice(at, 1).map((one) => one.id));
  }
  const weight = (one: TrackKind): number => one.weight * (shares[one.id] ?? 1);
  const total = kinds.reduce((sum, one) => sum + weight(one), 0);
  const spare = Math.max(width - needed(), 0);
  let x = 0;
  const placed = kinds.map((one, index) => {
    const own = one.least + (total > 0 ? (spare * weight(one)) / total : 0);
    const wide = index === kinds.length - 1 ? Math.max(width - x, 1) : Math.round(own);
    const place = { id: one.id, title: wide < 100 && one.short ? one.short : one.title, x, width: wide };
    x += wide;
    return place;
  });
  return { placed, left };
}

/** Shares after the border right of `id` was moved by `by` pixels. */
export function pulled(
  arranged: Arranged,
  shares: Partial<Record<TrackId, number>>,
  id: TrackId,
  by: number,
): Partial<Record<TrackId, number>> {
  const { placed } = arranged;
  const at = placed.findIndex((one) => one.id === id);
  const [a, b] = [placed[at], placed[at + 1]];
  const kinds = placed.map((one) => TRACKS.find((kind) => kind.id === one.id)!);
  const spare = placed.reduce((sum, one, i) => sum + one.width - kinds[i]!.least, 0);
  if (!a || !b || kinds[at]!.fixed || spare <= 0) return shares;
  const total = kinds.reduce((sum, one) => sum + one.weight * (shares[one.id] ?? 1), 0);
  const [kindA, kindB] = [kinds[at]!, kinds[at + 1]!];
  const move = Math.max(kindA.least - a.width, Math.min(by, b.width - kindB.least));
  const share = (kind: TrackKind, pixels: number): number =>
    Math.min(MOST * 4, Math.max(0, (pixels / spare) * total) / kind.weight);
  return {
    ...shares,
    [a.id]: share(kindA, a.width + move - kindA.least),
    [b.id]: share(kindB, b.width - move - kindB.least),
  };
}
