// The form of the live hole, read again whenever somebody changes it.
import type { Edit, Fault, Form } from '../api/types';
import { get, inPath, post, Refused } from '../api/rest';
import { live } from '../state/live.svelte';
import { view } from '../state/view.svelte';

const HOLE = 'hole.yaml'; // the document that an edit is of when it names none

/** What an edit of a form says of its document. */
export function ofDocument(form: Form): { file?: string } {
  return form.file === HOLE ? {} : { file: form.file };
}

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
    try {
      return (await post<{ faults: Fault[] }>(`/holes/${inPath(live.hole)}/validate`, { edits })).faults;
    } catch (error) {
      // a text that cannot be read at all is refused outright, with the same faults
      if (error instanceof Refused && error.faults.length) return error.faults;
      throw error;
    }
  }
}

export const inputs = new FormState();
