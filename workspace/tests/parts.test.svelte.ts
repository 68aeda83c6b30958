// The parts of the scene: who looks at one hears of that one alone, and what reads the same stays the same.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { flushSync } from 'svelte';
import { Parts, shared } from '../src/state/parts.svelte';

test('who looks at one part of the scene is not told of changes of the others, nor of what reads the same', () => {
  interface Whole { steps: { name: string; ends: number[] }[]; stopped: string }
  const parts = new Parts<Whole>();
  const told = (): Whole => ({ steps: [{ name: 'drill', ends: [1, 2] }, { name: 'case', ends: [2, 3] }], stopped: '' });
  parts.take(told());
  const heard: string[] = [];
  const stop = $effect.root(() => {
    $effect.pre(() => void heard.push(parts.whole.steps.map((one) => one.name).join()));
    $effect.pre(() => void heard.push(`stopped ${parts.whole.stopped}`));
  });
  flushSync();
  const [drill, casing] = parts.whole.steps;
  parts.take({ stopped: 'at the shoe', steps: told().steps });
  flushSync();
  assert.deepEqual(heard, ['drill,case', 'stopped ', 'stopped at the shoe']);
  parts.take({ steps: [drill!, { name: 'case', ends: [2, 4] }] });
  flushSync();
  assert.equal(parts.whole.steps[0], drill);
  assert.notEqual(parts.whole.steps[1], casing);
  assert.deepEqual(parts.whole.steps[1], { name: 'case', ends: [2, 4] });
  assert.equal(heard.length, 4);
  stop();
});

test('what looks alike and is not the same replaces what was there', () => {
  for (const [before, now] of [[[], {}], [{ a: undefined }, {}], [[1, 2], [1]], [null, {}], [{ a: 0 }, { a: null }], [{ a: 1 }, { b: 1 }]]) {
    assert.equal(shared(before, now), now);
    assert.deepEqual(shared(before, now), now);
  }
  const deep = { a: [{ b: 1 }, { c: [2] }] };
  assert.equal(shared(deep, structuredClone(deep)), deep);
});
