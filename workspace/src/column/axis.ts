// The shared depth axis. z is metres below sea level. Rock is drawn to one scale; air and sea above
// it get scales of their own, so that kilometres of water do not squeeze the rock. Between z and
// pixels stands u, 'drawn metres': equal to z in the rock, stretched or squeezed above it. Zooming
// and panning are done in u, where they are linear.

export interface Range { top: number; bottom: number }

export interface Piece { z0: number; z1: number; u0: number; u1: number }

export interface DepthLine {
  pieces: Piece[];
  whole: Range;
  /** The water whose scale is squeezed, and how many times; null when it is drawn to scale. */
  squeezed: { top: number; bottom: number; times: number } | null;
}

export interface Levels { top: number; seaBed: number; bottom: number }

const BELOW_SURFACE = 15; // m of sea that belong to the picture of the vessel
const ABOVE_BED = 40; // m of sea drawn to the scale of the rock: preventer and wellhead stand there
const AIR_SHARE = 0.06; // of the length of the rock
const WATER_SHARE = 0.075;
export const LEAST_SPAN = 4; // m: the nearest view

export function depthLine({ top, seaBed, bottom }: Levels, waterToScale: boolean): DepthLine {
  const whole = { top, bottom };
  const rock = Math.max(bottom - seaBed, 1);
  const water = seaBed - ABOVE_BED - BELOW_SURFACE;
  if (waterToScale || water <= WATER_SHARE * rock) {
    return { pieces: [{ z0: top, z1: bottom, u0: top, u1: bottom }], whole, squeezed: null };
  }
  const bed = seaBed - ABOVE_BED;
  const surface = bed - WATER_SHARE * rock;
  const air = Math.max(AIR_SHARE * rock, BELOW_SURFACE - top);
  return {
    pieces: [
      { z0: top, z1: BELOW_SURFACE, u0: surface - air, u1: surface },
      { z0: BELOW_SURFACE, z1: bed, u0: surface, u1: bed },
      { z0: bed, z1: bottom, u0: bed, u1: bottom },
    ],
    whole,
    squeezed: { top: BELOW_SURFACE, bottom: bed, times: water / (WATER_SHARE * rock) },
  };
}

export function drawn(line: DepthLine, z: number): number {
  const piece = line.pieces.find((one) => z <= one.z1) ?? line.pieces.at(-1)!;
  return piece.u0 + ((z - piece.z0) * (piece.u1 - piece.u0)) / (piece.z1 - piece.z0);
}

export function undrawn(line: DepthLine, u: number): number {
  const piece = line.pieces.find((one) => u <= one.u1) ?? line.pieces.at(-1)!;
  return piece.z0 + ((u - piece.u0) * (piece.z1 - piece.z0)) / (piece.u1 - piece.u0);
}

/** Where places lie on the screen. */
export class Scale {
  readonly uTop: number;
  readonly uBottom: number;
  readonly range: Range;

  constructor(
    readonly line: DepthLine,
    range: Range | null,
    readonly height: number,
  ) {
    this.range = range ?? line.whole;
    this.uTop = drawn(line, this.range.top);
    this.uBottom = drawn(line, this.range.bottom);
  }

  y = (z: number): number => ((drawn(this.line, z) - this.uTop) / (this.uBottom - this.uTop)) * this.height;

  z = (y: number): number => undrawn(this.line, this.uTop + (y / this.height) * (this.uBottom - this.uTop));

  /** Pixels a metre of rock takes. */
  get perMetre(): number {
    return this.height / (this.uBottom - this.uTop);
  }

  sees(top: number, bottom = top): boolean {
    return bottom >= this.range.top && top <= this.range.bottom;
  }
}

/** Closer (factor below 1) or farther about a place; null once all is in view. */
export function zoomed(line: DepthLine, range: Range | null, about: number, factor: number): Range | null {
  const { top, bottom } = range ?? line.whole;
  const [u0, u1, middle] = [drawn(line, top), drawn(line, bottom), drawn(line, about)];
  const wanted = Math.max(LEAST_SPAN, factor * (u1 - u0));
  const share = Math.min(1, Math.max(0, (middle - u0) / (u1 - u0)));
  return held(line, middle - share * wanted, wanted);
}

/** The view moved by drawn metres, kept inside the whole. */
export function panned(line: DepthLine, range: Range | null, by: number): Range | null {
  if (!range) return null;
  const u0 = drawn(line, range.top);
  return held(line, u0 + by, drawn(line, range.bottom) - u0);
}

/** A stretch with some room around it. */
export function framed(line: DepthLine, top: number, bottom: number, room = 0.08): Range | null {
  const [u0, u1] = [drawn(line, top), drawn(line, bottom)];
  const span = Math.max(LEAST_SPAN, (u1 - u0) * (1 + 2 * room));
  return held(line, 0.5 * (u0 + u1) - 0.5 * span, span);
}

function held(line: DepthLine, u0: number, span: number): Range | null {
  const [first, last] = [drawn(line, line.whole.top), drawn(line, line.whole.bottom)];
  if (span >= 0.999 * (last - first)) return null;
  const start = Math.min(Math.max(u0, first), last - span);
  return { top: undrawn(line, start), bottom: undrawn(line, start + span) };
}

/** 1, 2 or 5 times a power of ten, not below `least`. */
export function niceStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return ([1, 2, 5].find((one) => one * power >= least * 0.999999) ?? 10) * power;
}

/** The greatest of 1, 2 or 5 times a power of ten that is not above `most`. */
export function niceBelow(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most));
  return ([5, 2, 1].find((one) => one * power <= most * 1.000001) ?? 1) * power;
}

export interface Tick { z: number; y: number; value: number; labelled: boolean }

/** Round depths below the datum at `zero`, in a unit of `factor` metres, at least `spacing` px apart. */
export function depthTicks(scale: Scale, zero: number, factor: number, spacing: number): Tick[] {
  const ticks: Tick[] = [];
  for (const piece of scale.line.pieces) {
    const top = Math.max(piece.z0, scale.range.top);
    const bottom = Math.min(piece.z1, scale.range.bottom);
    const pixels = scale.y(bottom) - scale.y(top);
    if (bottom <= top || pixels < spacing) continue;
    const step = niceStep((spacing * (bottom - top)) / pixels / factor);
    const part = step / (String(step).replace(/[0.]/g, '').startsWith('2') ? 4 : 5);
    const first = Math.ceil((top - zero) / factor / part - 1e-9);
    const last = Math.floor((bottom - zero) / factor / part + 1e-9);
    for (let n = first; n <= last; n++) {
      const value = n * part;
      const z = zero + value * factor;
      ticks.push({ z, y: scale.y(z), value, labelled: Math.abs(value / step - Math.round(value / step)) < 1e-6 });
    }
  }
  return ticks;
}

/** Round numbers across a track, at most `most` of them. */
export function ticksAcross(low: number, high: number, most: number): number[] {
  if (!(high > low)) return [];
  const step = niceStep((high - low) / Math.max(most, 1));
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first + 1;
  return Array.from({ length: Math.max(count, 0) }, (_, n) => Number(((first + n) * step).toPrecision(12)));
}
