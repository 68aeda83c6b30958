// What the place Fluids shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';
import Circulation from './Circulation.svelte';
import Fluid from './Fluid.svelte';
import Heat from './Heat.svelte';

export const SECTIONS: Section[] = [
  { id: 'fluids', label: 'Fluids as measured', page: Fluid },
  { id: 'circulation', label: 'Circulation', page: Circulation },
  { id: 'heat', label: 'Heat', page: Heat },
];
