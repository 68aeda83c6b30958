// An answer of the server that follows the newest revision: asked anew once hands are calm,
// and only the answer to the latest question is taken.
import { untrack } from 'svelte';
import { get, inPath } from '../api/rest';
import { live } from './live.svelte';
import { view } from './view.svelte';

const CALM = 200; // ms without a change before it is asked anew

export class Following<T> {
  said = $state.raw<T | null>(null);
  trouble = $state('');
  #asked = 0;

  /** Call while a component is made. `path` is below the hole, without units; '' asks nothing. */
  constructor(path: () => string) {
    $effect(() => {
      void live.pictured;
      const [hole, units, asked] = [live.hole, view.units, path()];
      if (!asked) return;
      // its own answer is no reason to ask again
      const pause = untrack(() => this.said) ? CALM : 0;
      const wait = setTimeout(() => void this.#ask(hole, asked, units), pause);
      return () => clearTimeout(wait);
    });
  }

  async #ask(hole: string, path: string, units: string): Promise<void> {
    const number = ++this.#asked;
    const joint = path.includes('?') ? '&' : '?';
    try {
      const answer = await get<T>(`/holes/${inPath(hole)}/${path}${joint}units=${units}`);
      if (number === this.#asked) { this.said = answer; this.trouble = ''; }
    } catch (error) {
      if (number !== this.#asked) return;
      this.said = null;
      this.trouble = error instanceof Error ? error.message : 'The server does not answer.';
    }
  }
}
