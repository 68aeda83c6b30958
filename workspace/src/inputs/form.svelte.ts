// The form of the live hole, read again whenever somebody changes it.
import { get, inPath, post } from '../api/rest';
import type { Edit, Fault } from '../api/types';
import { live } from '../state/live.svelte';
import { view } from '../state/view.svelte';
import type { Form } from './types';

class FormState {
  form = $state.raw<Form | null>(null);
  trouble = $state('');
  #asked = 0;

  /** Read the form again; an answer that a later question has overtaken is dropped. */
  async read(): Promise<void> {
    const asked = ++this.#asked;
    try {
      const form = await get<Form>(`/holes/${inPath(live.hole)}/inputs?units=${view.units}`);
      if (asked === this.#asked) this.form = form;
      this.trouble = '';
    } catch (error) {
      if (asked === this.#asked) this.trouble = error instanceof Error ? error.message : 'The server does not answer.';
    }
  }

  /** What the command line would say if this were saved; nothing is kept. */
  async faultsOf(edits: Edit[]): Promise<Fault[]> {
    return (await post<{ faults: Fault[] }>(`/holes/${inPath(live.hole)}/validate`, { edits })).faults;
  }
}

export const inputs = new FormState();
