// The shapes that the server sends, as the front end names them. SI throughout; z is metres below
// mean sea level.

export interface Place { name: string; z: number }
export interface Rock { top: number; bottom: number; lithology: string; pattern: string; fluid: string; hazard: string; patterns: string[] }
export interface PressureCurve { kind: string; label: string; section: string; z: number[]; pressure: (number | null)[]; density: (number | null)[] }
export interface Window { datum: string; definition: string; curves: PressureCurve[] }
export interface Cut { name: string; top: number; bottom: number; diameter: number; cased: boolean }
export interface Steel {
  name: string; pipe: string; top: number; shoe: number; outside_diameter: number; inside_diameter: number;
  hole_diameter: number; conductor: boolean; standing: boolean; cement_top: number | null; cement_bottom: number | null;
}
export interface Layer { name: string; density: number; top: number; bottom: number }
export interface Part { name: string; kind: string; top: number; bottom: number; outside_diameter: number; inside_diameter: number }
export interface RiserTube { top: number; preventer_top: number; bottom: number; outside_diameter: number; inside_diameter: number }
export interface Span { name: string; top: number; bottom: number }
export interface HoleSection {
  bottom: number; cuts: Cut[]; steel: Steel[]; layers: Layer[]; string_name: string; string: Part[];
  riser: RiserTube | null; plugs: Span[]; core: Span | null;
}
export interface ProfileCurve { name: string; label: string; z: number[]; value: (number | null)[] }
export interface StrengthUsed { string: string; strings: string[]; curves: ProfileCurve[]; why_empty: string }
export interface BudgetBar {
  name: string; pipe: string; top: number; shoe: number; hole_diameter: number; outside_diameter: number; passes: number; spent: number;
}
export interface Budget { start: number; bars: BudgetBar[]; spares: string[]; last_hole: number; core: number | null }
export interface Handle {
  id: string; kind: string; label: string; track: string; key: string; written: string; value: number; unit: string;
  least: number; most: number; step: number; z: number; section: string; says: string;
}
export interface StepMark {
  index: number; name: string; title: string; kind: string; section: string; duration: number | null; waiting: number | null;
  start: number; end: number; fixed: boolean; why: string; uses: string[]; barriers: string[]; barriers_needed: boolean;
  counts: Record<string, number>; worst: string;
}
export interface UnitLine { label: string; factor: number; offset: number }
export interface Scene {
  hole: string; invented: boolean; note: string; system: string; units: Record<string, UnitLine>; datum: string; datums: Place[];
  target: number; top: number; bottom: number; step: string; stopped: string; rocks: Rock[]; window: Window; section: HoleSection;
  temperature: ProfileCurve[]; strength: StrengthUsed; budget: Budget; handles: Handle[]; steps: StepMark[];
}

export type Status = 'fails' | 'not judged' | 'outside validity' | 'tight' | 'holds';
export interface LedgerRow {
  id: string; step: string; check: string; discipline: string; status: Status; margin: number | null; margin_text: string;
  demand: string; capacity: string; z: number | null; depth: string; section: string; question: string; remedy: string;
  reason: string; caution: string; note: string;
}
export interface LedgerHead {
  verdict: string; passes: boolean; counts: Record<string, number>; cautions: { text: string; checks: string[] }[];
  fails_first: string | null; fails_most: string | null; tightest: string | null;
}
export interface Fault { where: string; found: string; expected: string; fix: string }
export type Edit =
  | { op: 'set'; key: string; text: string }
  | { op: 'remove'; key: string }
  | { op: 'put' | 'insert'; key: string; content: unknown }
  | { op: 'table'; file: string; text: string }
  | { op: 'cell'; file: string; row: number; column: string; text: string };

export interface Session { user: string; role: 'read' | 'edit' | 'sign' | ''; login_needed: boolean; csrf: string; version: string; folder: string }
export interface HoleEntry { id: string; name: string; invented: boolean; fault: string }

// What the live connection sends.
export type FromServer =
  | {
      type: 'state'; revision: number; scene?: Partial<Scene>; faults?: Fault[]; can_undo?: boolean; can_redo?: boolean; author?: string;
      ledger?: { head?: LedgerHead; rows?: LedgerRow[]; gone?: string[] };
    }
  | { type: 'accepted'; id: number; revision: number }
  | { type: 'refused'; id: number; faults: Fault[] }
  | { type: 'conflict'; id: number; keys: string[]; by: string; revision: number }
  | { type: 'people'; names: string[] }
  | { type: 'notice'; text: string };

export interface Signature { revision: number; author: string; at: string; note: string; verdict: string }
