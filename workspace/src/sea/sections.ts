// What the place Sea shows, one section at a time, in the order of its tabs.
import type { Section } from '../parts/section';

export const SECTIONS: Section[] = [];
