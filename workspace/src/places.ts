// The places of the workspace, in the order of their keys.
import type { Component } from 'svelte';
import Alternatives from './alternatives/Alternatives.svelte';
import Compare from './compare/Compare.svelte';
import Fluids from './fluids/Fluids.svelte';
import Inputs from './inputs/Inputs.svelte';
import Odds from './odds/Odds.svelte';
import Programme from './programme/Programme.svelte';
import Sea from './sea/Sea.svelte';
import Home from './Home.svelte';

export interface PlaceEntry {
  id: string;
  label: string;
  key: string; // Alt and this digit goes there
  page: Component;
}

export const PLACES: PlaceEntry[] = [
  { id: 'column', label: 'Column', key: '1', page: Home },
  { id: 'then-and-now', label: 'Then and now', key: '2', page: Compare },
  { id: 'inputs', label: 'Inputs', key: '3', page: Inputs },
  { id: 'programme', label: 'Programme', key: '4', page: Programme },
  { id: 'alternatives', label: 'Alternatives', key: '5', page: Alternatives },
  { id: 'fluids', label: 'Fluids', key: '6', page: Fluids },
  { id: 'sea', label: 'Sea', key: '7', page: Sea },
  { id: 'odds', label: 'Odds', key: '8', page: Odds },
];
