// Labels beside the drawing: each near its place, none over another.

export interface Wanted { at: number; size: number }

/** Centres near the wanted places, in order, without overlaps and inside low..high if they fit. */
export function spread(wanted: readonly Wanted[], low: number, high: number): number[] {
  // neighbours that touch become one block that stands at the mean of its members' places
  interface Block { first: number; count: number; size: number; sum: number }
  const blocks: Block[] = [];
  const start = (block: Block): number => {
    const middle = block.sum / block.count - block.size / 2;
    return Math.max(low, Math.min(middle, high - block.size));
  };
  wanted.forEach((one, index) => {
    blocks.push({ first: index, count: 1, size: one.size, sum: one.at });
    for (;;) {
      const [a, b] = [blocks.at(-2), blocks.at(-1)!];
      if (!a || start(a) + a.size <= start(b)) break;
      blocks.splice(-2, 2, { first: a.first, count: a.count + b.count, size: a.size + b.size, sum: a.sum + b.sum });
    }
  });
  const centres: number[] = [];
  for (const block of blocks) {
    let edge = start(block);
    for (let i = block.first; i < block.first + block.count; i++) {
      centres.push(edge + wanted[i]!.size / 2);
      edge += wanted[i]!.size;
    }
  }
  return centres;
}

/** The most important labels that fit, in order of place. */
export function fitting<T>(items: readonly T[], rank: (item: T) => number, place: (item: T) => number, most: number): T[] {
  return [...items]
    .sort((a, b) => rank(a) - rank(b) || place(a) - place(b))
    .slice(0, Math.max(most, 0))
    .sort((a, b) => place(a) - place(b));
}
