// How far long work of the live hole is: asked again and again while somebody wants to know.
import { untrack } from 'svelte';
import { get, inPath } from '../api/rest';
import type { Progress } from '../api/types';
import { live } from './live.svelte';

const ASK = 800; // ms between questions of how far it is

export class Working {
  told = $state.raw<Progress | null>(null);

  /** Call while a component is made. `of`: where it is asked; `wanted`: whether anybody looks. */
  constructor(of: () => string, wanted: () => boolean) {
    $effect(() => {
      if (!wanted()) return;
      const path = `/holes/${inPath(live.hole)}/${of()}/progress`;
      let left = false;
      const ask = (): void => {
        get<Progress>(path).then((told) => { if (!left) this.told = told; }).catch(() => {});
      };
      untrack(ask);
      const ticking = setInterval(ask, ASK);
      return () => {
        left = true;
        clearInterval(ticking);
      };
    });
  }

  heard = (told: Progress): void => {
    this.told = told;
  };

  /** Whether a part is being worked out, or waits for its turn. */
  has(part: string): boolean {
    return this.told?.parts.some((one) => one.part === part) ?? false;
  }

  /** Why a part came to no answer when it was asked for last; empty where it did. */
  why(part: string): string {
    return this.told?.failed.find((one) => one.part === part)?.why ?? '';
  }
}
