// Handles: the hand stops at the neighbours, one message at a time, the latest place wins.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { opened, soon, type Line } from './server';
import { live } from '../src/state/live.svelte';
import { moves } from '../src/column/moves.svelte';
import type { Handle } from '../src/api/types';

const shoe = { id: 'shoe:a', value: 100, least: 50, most: 200, step: 5 } as Handle;
const accept = (line: Line, revision: number): void => line.say({ type: 'accepted', id: line.of('handle').at(-1)!['id'], revision });

test('of a drag only the latest place is sent once the server has answered', async () => {
  const line = await opened('a');
  moves.begin(shoe);
  for (const place of [110, 120, 130, 140]) moves.drag(shoe, place);
  assert.deepEqual(line.of('handle').map((one) => one['value']), [110]);
  accept(line, 2);
  await soon();
  assert.deepEqual(line.of('handle').map((one) => one['value']), [110, 140]);
  assert.equal(new Set(line.of('handle').map((one) => one['gesture'])).size, 1); // one undo for all of it
  accept(line, 3);
  await soon();
  moves.end();
});

test('a hand does not pass the neighbours, however far it pulls', async () => {
  const line = await opened('b');
  moves.begin(shoe);
  moves.drag(shoe, 900);
  assert.equal(moves.valueOf(shoe), 200);
  assert.equal(line.of('handle')[0]!['value'], 200);
  accept(line, 2);
  await soon();
  moves.end();
  line.say({ type: 'state', revision: 2, faults: [] });
  moves.settle();
  assert.equal(moves.valueOf(shoe), 100); // the picture's own again
});

test('Escape takes a drag back, and only what it did', async () => {
  const line = await opened('c');
  moves.begin(shoe);
  await moves.cancel();
  assert.equal(line.of('undo').length, 0);
  moves.begin(shoe);
  moves.drag(shoe, 150);
  accept(line, 2);
  await soon();
  const cancelled = moves.cancel();
  await soon();
  line.say({ type: 'accepted', id: line.of('undo')[0]!['id'], revision: 3 });
  await cancelled;
  assert.equal(moves.valueOf(shoe), 100);
});

test('keys that follow each other are one gesture, and a refused place is given up', async () => {
  const line = await opened('d');
  moves.step(shoe, shoe.step);
  accept(line, 2);
  await soon();
  moves.step(shoe, shoe.step);
  const [first, second] = line.of('handle');
  assert.equal(first!['gesture'], second!['gesture']);
  assert.deepEqual([first!['value'], second!['value']], [105, 110]);
  const fault = { where: 'shoe', found: 'x', expected: 'y', fix: '' };
  line.say({ type: 'refused', id: second!['id'], faults: [fault] });
  await soon();
  assert.equal(moves.valueOf(shoe), 100);
  assert.deepEqual(moves.faults['shoe:a'], [fault]);
});

test('a hole that is left in the middle of a drag leaves the hand free for the next one', async () => {
  await opened('e');
  moves.begin(shoe);
  moves.drag(shoe, 120);
  live.close();
  await soon();
  moves.end();
  const line = await opened('f');
  moves.begin(shoe);
  moves.drag(shoe, 130);
  assert.deepEqual(line.of('handle').map((one) => one['value']), [130]);
  accept(line, 2);
  await soon();
  moves.end();
});

test('what broke the plan stands in its field, so that it can be mended', async () => {
  const line = await opened('g');
  const written = { ...shoe, written: '100 m below sea bed' } as Handle;
  line.say({ type: 'state', revision: 1, faults: [] });
  const done = moves.type(written, '900 m below sea bed');
  accept(line, 2);
  await done;
  line.say({ type: 'state', revision: 2, faults: [{ where: 'shoe', found: 'x', expected: 'y', fix: '' }] });
  assert.equal(moves.writtenOf(written), '900 m below sea bed');
  line.say({ type: 'state', revision: 3, faults: [] });
  assert.equal(moves.writtenOf(written), '100 m below sea bed');
  assert.equal(line.of('handle')[0]!['text'], '900 m below sea bed');
});
