// What the place Sea shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';
import Circles from './Circles.svelte';
import Riser from './Riser.svelte';
import Footprint from './Footprint.svelte';
import Motions from './Motions.svelte';
import Station from './Station.svelte';
import Weather from './Weather.svelte';

export const SECTIONS: Section[] = [
  { id: 'station', label: 'Station', page: Station },
  { id: 'footprint', label: 'Footprint', page: Footprint },
  { id: 'motions', label: 'Motions', page: Motions },
  { id: 'circles', label: 'Watch circles', page: Circles },
  { id: 'riser', label: 'Riser', page: Riser },
  { id: 'weather', label: 'Weather', page: Weather },
];
