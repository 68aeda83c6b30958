// What this reader looks at: never part of the hole, kept in this browser only.
import type { Status } from '../api/types';

export type Datum = 'drill floor' | 'sea level' | 'sea bed';
export type Units = 'metric' | 'oilfield';
export type Theme = 'system' | 'light' | 'dark' | 'red';

const KEPT = 'bathybore.view';

interface Kept { datum: Datum; units: Units; theme: Theme; guided: boolean }

function kept(): Kept {
  const usual: Kept = { datum: 'drill floor', units: 'metric', theme: 'system', guided: false };
  try {
    return { ...usual, ...(JSON.parse(localStorage.getItem(KEPT) ?? '{}') as Partial<Kept>) };
  } catch {
    return usual; // storage switched off or spoilt: begin as on a first visit
  }
}

const before = kept();

class View {
  datum = $state<Datum>(before.datum);
  units = $state<Units>(before.units);
  theme = $state<Theme>(before.theme);
  /** The guided look has been seen or closed. */
  guided = $state(before.guided);
  /** Name of the chosen step; empty stands for the last. */
  step = $state('');
  /** Name of the string whose strength is shown; empty lets the server choose. */
  string = $state('');
  /** Id of the check that is opened. */
  check = $state('');
  /** Part of the shared axis that the Column shows [m below sea level]; null shows all. */
  range = $state.raw<{ top: number; bottom: number } | null>(null);
  /** Depth under the pointer [m below sea level]. */
  hover = $state<number | null>(null);
  /** Which rows the Ledger shows. */
  scope = $state<'step' | 'section' | 'hole'>('hole');
  statuses = $state.raw<Status[]>([]);
  disciplines = $state.raw<string[]>([]);

  keep(): void {
    const { datum, units, theme, guided } = this;
    try {
      localStorage.setItem(KEPT, JSON.stringify({ datum, units, theme, guided }));
    } catch {
      // a browser without storage only forgets the choice
    }
  }
}

export const view = new View();
