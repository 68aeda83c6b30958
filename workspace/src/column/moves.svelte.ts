// Moving the plan's numbers: the grip follows the hand at once, the server is told as fast as it
// answers and no faster, and one drag is one step of undo.
import type { Fault, Handle } from '../api/types';
import { live, unique, type Outcome } from '../state/live.svelte';

const SAME_STEPS = 900; // ms: key presses closer than this are one gesture

class Moves {
  /** Values that the hand has set and the picture does not show yet, by handle. */
  drafts = $state.raw<Record<string, number>>({});
  /** What the server refused, by handle. */
  faults = $state.raw<Record<string, Fault[]>>({});
  dragging = $state('');
  /** What was typed last, and the revision that it made. */
  typed = $state.raw({ id: '', text: '', revision: 0 });

  #gesture = '';
  #wanted: { id: string; value: number; gesture: string } | null = null;
  #flight: Promise<void> | null = null;
  #became = new Map<string, number>(); // the revision that a handle's last move made
  #changed = false; // the server took something of the gesture under way
  #stepped = { id: '', at: 0, gesture: '' };

  valueOf(handle: Handle): number {
    return this.drafts[handle.id] ?? handle.value;
  }

  begin(handle: Handle): void {
    this.dragging = handle.id;
    this.#gesture = unique();
    this.#changed = false;
    this.forget(handle.id);
  }

  drag(handle: Handle, value: number): void {
    if (this.dragging === handle.id) this.#set(handle.id, held(handle, value), this.#gesture);
  }

  end(): void {
    this.dragging = '';
    this.settle();
  }

  /** Escape during a drag: all that the gesture did is taken back. */
  async cancel(): Promise<void> {
    const id = this.dragging;
    this.dragging = '';
    this.#wanted = null;
    await this.#flight;
    if (this.#changed) await live.undo();
    this.#drop(id);
  }

  /** One press of an arrow key. */
  step(handle: Handle, by: number): void {
    const now = performance.now();
    const again = this.#stepped.id === handle.id && now - this.#stepped.at < SAME_STEPS;
    const gesture = again ? this.#stepped.gesture : unique();
    this.#stepped = { id: handle.id, at: now, gesture };
    this.forget(handle.id);
    this.#set(handle.id, held(handle, this.valueOf(handle) + by), gesture);
  }

  /** An exact value as it was typed; it may pass the neighbours, and a plan that breaks is shown. */
  async type(handle: Handle, text: string): Promise<Outcome> {
    this.forget(handle.id);
    const outcome = await live.type(handle.id, text);
    this.#take(handle.id, outcome);
    if (outcome.kind === 'accepted') this.typed = { id: handle.id, text, revision: outcome.revision };
    return outcome;
  }

  /** As the document has it. A plan that cannot be walked has no picture to read that from. */
  writtenOf(handle: Handle): string {
    const { id, text, revision } = this.typed;
    return id === handle.id && live.faults.length && revision === live.revision ? text : handle.written;
  }

  /** Drop the drafts that the picture has caught up with. A plan with faults has no newer picture. */
  settle(): void {
    if (this.#flight || live.faults.length) return;
    const open = Object.entries(this.drafts).filter(([id]) => id === this.dragging || (this.#became.get(id) ?? 0) > live.pictured);
    if (open.length < Object.keys(this.drafts).length) this.drafts = Object.fromEntries(open);
  }

  #set(id: string, value: number, gesture: string): void {
    if (this.drafts[id] === value) return;
    this.drafts = { ...this.drafts, [id]: value };
    this.#wanted = { id, value, gesture };
    this.#flight ??= this.#send();
  }

  // one message at a time: what the hand did meanwhile is sent as one when the answer is there
  async #send(): Promise<void> {
    while (this.#wanted) {
      const { id, value, gesture } = this.#wanted;
      this.#wanted = null;
      const outcome = await live.move(id, value, gesture);
      if (outcome.kind === 'accepted') {
        if (gesture === this.#gesture) this.#changed = true;
        this.#became.set(id, outcome.revision);
      }
      this.#take(id, outcome);
    }
    this.#flight = null;
    this.settle();
  }

  #take(id: string, outcome: Outcome): void {
    if (outcome.kind === 'refused') this.faults = { ...this.faults, [id]: outcome.faults };
    if (outcome.kind !== 'accepted' && this.dragging !== id && !this.#wanted) this.#drop(id);
  }

  #drop(id: string): void {
    this.drafts = Object.fromEntries(Object.entries(this.drafts).filter(([one]) => one !== id));
  }

  /** The reader has seen what was refused, or tries anew. */
  forget(id: string): void {
    if (this.faults[id]) this.faults = Object.fromEntries(Object.entries(this.faults).filter(([one]) => one !== id));
  }
}

/** Between its neighbours: a value typed may pass them, a hand may not. */
function held(handle: Handle, value: number): number {
  return Math.min(Math.max(value, handle.least), handle.most);
}

export const moves = new Moves();
