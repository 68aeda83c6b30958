// Curves as paths, and what they read at a depth. A gap in the numbers stays a gap.

type Numbers = readonly number[];
type Values = readonly (number | null)[];
type Map1 = (value: number) => number;

const digits = (value: number): string => value.toFixed(1);

/** A line through the known values; values unknown break it. */
export function linePath(z: Numbers, values: Values, x: Map1, y: Map1): string {
  const parts: string[] = [];
  let pen = false;
  for (let i = 0; i < z.length; i++) {
    const value = values[i];
    if (value === null || value === undefined) {
      pen = false;
      continue;
    }
    parts.push(`${pen ? 'L' : 'M'}${digits(x(value))} ${digits(y(z[i]!))}`);
    pen = true;
  }
  return parts.join('');
}

export interface Line { z: Numbers; values: Values }

/** The area between two lines over the depths that both know. */
export function bandPath(low: Line, high: Line, x: Map1, y: Map1): string {
  const depths = [...new Set([...low.z, ...high.z])].sort((a, b) => a - b);
  const runs: [number, number, number][][] = [[]];
  for (const z of depths) {
    const [a, b] = [valueAt(low.z, low.values, z), valueAt(high.z, high.values, z)];
    if (a === null || b === null) runs.push([]);
    else runs.at(-1)!.push([z, Math.min(a, b), b]); // where low passes high nothing is allowed
  }
  return runs
    .filter((run) => run.length > 1)
    .map((run) => {
      const down = run.map(([z, a]) => `${digits(x(a))} ${digits(y(z))}`);
      const up = run.map(([z, , b]) => `${digits(x(b))} ${digits(y(z))}`).reverse();
      return `M${[...down, ...up].join('L')}Z`;
    })
    .join('');
}

/** Linear between neighbouring nodes; null outside them or beside a gap. */
export function valueAt(z: Numbers, values: Values, at: number): number | null {
  const last = z.length - 1;
  if (last < 0 || at < z[0]! || at > z[last]!) return null;
  let [low, high] = [0, last];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (z[middle]! <= at) low = middle;
    else high = middle;
  }
  const [a, b] = [values[low] ?? null, values[high] ?? null];
  if (at === z[low]) return a ?? (at === z[high] ? b : null);
  if (at === z[high]) return b;
  if (a === null || b === null) return null;
  return a + ((b - a) * (at - z[low]!)) / (z[high]! - z[low]!);
}

/** Least and greatest known value over the depths in view; null when none is known there. */
export function extent(lines: Iterable<Line>, top: number, bottom: number): [number, number] | null {
  let [least, most] = [Infinity, -Infinity];
  const take = (value: number | null | undefined): void => {
    if (value === null || value === undefined || !Number.isFinite(value)) return;
    least = Math.min(least, value);
    most = Math.max(most, value);
  };
  for (const { z, values } of lines) {
    for (let i = 0; i < z.length; i++) if (z[i]! >= top && z[i]! <= bottom) take(values[i]);
    take(valueAt(z, values, top));
    take(valueAt(z, values, bottom));
  }
  return most >= least ? [least, most] : null;
}
