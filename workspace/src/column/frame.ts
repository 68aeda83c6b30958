// What lies where in the drawing: handed to whatever is drawn over it.
import type { Scale } from './axis';
import type { Arranged, Placed, TrackId } from './layout';
import type { Span } from './windowSpan';

export interface Frame {
  scale: Scale;
  arranged: Arranged;
  width: number;
  height: number;
  /** Scale across the window. */
  span: Span;
  /** Pixels of one metre of diameter in the hole. */
  perMetre: number;
  track: (id: TrackId) => Placed | undefined;
}
