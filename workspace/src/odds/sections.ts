// What the place Odds shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';
import Architectures from './Architectures.svelte';
import Chances from './Chances.svelte';
import Knowing from './Knowing.svelte';
import Matters from './Matters.svelte';
import Reach from './Reach.svelte';
import Relief from './Relief.svelte';
import Robust from './Robust.svelte';
import Rules from './Rules.svelte';
import Walked from './Walked.svelte';

export const SECTIONS: Section[] = [
  { id: 'reach', label: 'Reach', page: Reach },
  { id: 'odds', label: 'Odds', page: Chances },
  { id: 'rules', label: 'Rules', page: Rules },
  { id: 'matters', label: 'What matters', page: Matters },
  { id: 'knowing', label: 'Knowing', page: Knowing },
  { id: 'robust', label: 'Robust', page: Robust },
  { id: 'architectures', label: 'Architectures', page: Architectures },
  { id: 'relief', label: 'Relief', page: Relief },
  { id: 'walked', label: 'Walked', page: Walked },
];
