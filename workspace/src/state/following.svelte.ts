// An answer of the server that follows the newest revision: asked anew once hands are calm,
// and only the answer to the latest question is taken.
import { untrack } from 'svelte';
import { get, inPath, Refused } from '../api/rest';
import { live } from './live.svelte';
import { view } from './view.svelte';

const CALM = 200; // ms without a change before it is asked anew

export class Following<T> {
  said = $state.raw<T | null>(null);
  trouble = $state('');
  /** An answer to the newest question is still to come. */
  asking = $state(false);
  #asked = 0;
  #leave: AbortController | null = null;
  #times = $state(0);

  /** Call while a component is made. `path` is below the hole, without units; '' asks nothing.
   *  `calm`: ms without a change before it is asked anew. */
  constructor(path: () => string, calm = CALM) {
    $effect(() => {
      void [live.pictured, this.#times];
      const [hole, units, asked] = [live.hole, view.units, path()];
      if (!asked) return;
      // its own answer is no reason to ask again
      const pause = untrack(() => this.said ?? this.asking) ? calm : 0;
      this.asking = true;
      const wait = setTimeout(() => void this.#ask(hole, asked, units), pause);
      return () => {
        clearTimeout(wait);
        this.#leave?.abort(); // nobody waits for that answer any more
      };
    });
  }

  /** Ask once more of the same revision. */
  again(): void {
    untrack(() => (this.#times += 1));
  }

  async #ask(hole: string, path: string, units: string): Promise<void> {
    const number = ++this.#asked;
    const leave = (this.#leave = new AbortController());
    const joint = path.includes('?') ? '&' : '?';
    try {
      const answer = await get<T>(`/holes/${inPath(hole)}/${path}${joint}units=${units}`, leave.signal);
      if (number !== this.#asked || leave.signal.aborted) return;
      this.said = answer;
      this.trouble = '';
      this.asking = false;
    } catch (error) {
      if (number !== this.#asked || leave.signal.aborted) return;
      this.asking = false;
      // a newer revision came first: its own arrival asks again
      if (error instanceof Refused && error.status === 409) return;
      this.said = null;
      this.trouble = error instanceof Error ? error.message : 'The server does not answer.';
    }
  }
}
