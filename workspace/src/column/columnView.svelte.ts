// How this reader likes the Column: kept in this browser, never part of the hole.
import { TRACKS, type TrackId } from './layout';

export type Quantity = 'density' | 'pressure';

const KEPT = 'bathybore.column';

interface Kept { quantity: Quantity; tracks: TrackId[]; shares: Partial<Record<TrackId, number>>; numbers: boolean | null }

function kept(): Kept {
  const usual: Kept = { quantity: 'density', tracks: TRACKS.map((one) => one.id), shares: {}, numbers: null };
  try {
    return { ...usual, ...(JSON.parse(localStorage.getItem(KEPT) ?? '{}') as Partial<Kept>) };
  } catch {
    return usual; // storage switched off or spoilt: begin as on a first visit
  }
}

const before = kept();

class ColumnView {
  quantity = $state<Quantity>(before.quantity);
  tracks = $state.raw<TrackId[]>(before.tracks);
  shares = $state.raw<Partial<Record<TrackId, number>>>(before.shares);
  /** Whether the list of numbers is open; null leaves it to the room there is. */
  numbers = $state<boolean | null>(before.numbers);
  waterToScale = $state(false);
  /** The hole that the range in view belongs to. */
  hole = '';
  /** Id of the handle that pointer or focus is on, in the drawing or in the list. */
  handle = $state('');

  toggle(id: TrackId): void {
    this.tracks = this.tracks.includes(id) ? this.tracks.filter((one) => one !== id) : [...this.tracks, id];
  }

  keep(): void {
    const { quantity, tracks, shares, numbers } = this;
    try {
      localStorage.setItem(KEPT, JSON.stringify({ quantity, tracks, shares, numbers }));
    } catch {
      // a browser without storage only forgets the choice
    }
  }
}

export const columnView = new ColumnView();
