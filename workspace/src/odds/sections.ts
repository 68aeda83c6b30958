// What the place Odds shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';
import Chances from './Chances.svelte';
import Reach from './Reach.svelte';
import Rules from './Rules.svelte';

export const SECTIONS: Section[] = [
  { id: 'reach', label: 'Reach', page: Reach },
  { id: 'odds', label: 'Odds', page: Chances },
  { id: 'rules', label: 'Rules', page: Rules },
];
