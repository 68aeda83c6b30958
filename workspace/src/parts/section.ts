// One section of a place: what it is called and the page it shows.
import type { Component } from 'svelte';

export interface Section {
  id: string;
  label: string;
  page: Component<{ open: (id: string) => void; chosen: string }>;
}
