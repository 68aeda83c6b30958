// What the place Fluids shows, one section at a time, in the order of its tabs.
import type { Component } from 'svelte';

export interface Section {
  id: string;
  label: string;
  page: Component<{ open: (id: string) => void; chosen: string }>;
}

export const SECTIONS: Section[] = [];
