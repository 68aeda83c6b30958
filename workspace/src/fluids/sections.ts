// What the place Fluids shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';
import Cement from './Cement.svelte';
import Circulation from './Circulation.svelte';
import Cuttings from './Cuttings.svelte';
import Fluid from './Fluid.svelte';
import Heat from './Heat.svelte';
import Kick from './Kick.svelte';
import KillSheet from './KillSheet.svelte';
import Mud from './Mud.svelte';
import Trips from './Trips.svelte';

export const SECTIONS: Section[] = [
  { id: 'fluids', label: 'Fluids as measured', page: Fluid },
  { id: 'circulation', label: 'Circulation', page: Circulation },
  { id: 'heat', label: 'Heat', page: Heat },
  { id: 'cuttings', label: 'Cuttings', page: Cuttings },
  { id: 'trips', label: 'Trips', page: Trips },
  { id: 'cement', label: 'Cement', page: Cement },
  { id: 'kicks', label: 'Kicks', page: Kick },
  { id: 'kill-sheet', label: 'Kill sheet', page: KillSheet },
  { id: 'mud', label: 'Mud account', page: Mud },
];
