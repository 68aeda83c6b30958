// The connection: what was not confirmed is sent again, and nobody waits for an answer that cannot come.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { Line, opened, soon } from './server';
import { live } from '../src/state/live.svelte';

test('an edit is kept until it is confirmed, and sent again as it was after a lost connection', async () => {
  const line = await opened('one');
  const done = live.edit([{ op: 'set', key: 'a', text: '1' }], 'a');
  const first = line.of('edits')[0]!;
  line.drop();
  assert.equal(live.connection, 'lost');
  assert.equal(live.waiting, 1);
  await new Promise((wait) => setTimeout(wait, 350));
  const second = Line.all.at(-1)!;
  assert.notEqual(second, line);
  second.open();
  assert.deepEqual(second.of('edits'), [first]); // the same token: it cannot be made twice
  second.say({ type: 'accepted', id: first['id'], revision: 7 });
  assert.deepEqual(await done, { kind: 'accepted', revision: 7 });
  assert.equal(live.waiting, 0);
});

test('what an edit waits for is told when its hole is left', async () => {
  await opened('two');
  const done = live.edit([{ op: 'set', key: 'a', text: '1' }], 'a');
  live.close();
  assert.equal((await done).kind, 'refused');
  assert.match(live.notice, /One change was not confirmed .* when two was left/);
  live.notice = '';
});

test('an undo that is refused is not refused silently', async () => {
  const line = await opened('three');
  const done = live.undo();
  const fault = { where: 'undo', found: 'nothing', expected: 'an edit', fix: '' };
  line.say({ type: 'refused', id: line.of('undo')[0]!['id'], faults: [fault] });
  await done;
  assert.match(live.notice, /No undo: undo: found nothing/);
  live.notice = '';
});

test('a session that ended asks for the login, once, and goes on with what was not confirmed', async () => {
  const line = await opened('four');
  const heard: string[] = [];
  live.shut = (why) => heard.push(why);
  void live.edit([{ op: 'set', key: 'a', text: '1' }], 'a');
  line.drop(4401);
  await new Promise((wait) => setTimeout(wait, 350));
  assert.deepEqual(heard, ['login']);
  assert.equal(Line.all.at(-1), line); // it does not knock at a closed door
  live.resume();
  const again = Line.all.at(-1)!;
  again.open();
  assert.equal(again.of('edits').length, 1);
  again.say({ type: 'accepted', id: again.of('edits')[0]!['id'], revision: 2 });
});

test('messages are merged: rows come, change in what is told of them and go, and a later picture is not put back', async () => {
  const line = await opened('five');
  const rows = [{ id: 'a', status: 'holds', margin: 0.2 }, { id: 'b', status: 'fails', margin: null }];
  line.say({ type: 'state', revision: 3, scene: { hole: 'five', steps: [] }, can_undo: true });
  line.say({ type: 'ledger', revision: 3, ledger: { rows }, scene: {} });
  line.say({ type: 'ledger', revision: 4, ledger: { rows: [{ id: 'a', status: 'tight' }], gone: ['b'] }, scene: {} });
  line.say({ type: 'state', revision: 2, faults: [] });
  assert.deepEqual(live.rows, [{ id: 'a', status: 'tight', margin: 0.2 }]);
  line.say({ type: 'ledger', revision: 4, ledger: { rows: [{ id: 'b', margin: -0.1 }] }, scene: {} });
  const back = { id: 'b', status: 'fails', margin: -0.1 }; // what was told of it before it went still holds
  assert.deepEqual(live.rows, [{ id: 'a', status: 'tight', margin: 0.2 }, back]);
  assert.deepEqual([live.pictured, live.judged, live.canUndo], [3, 4, true]);
  await soon();
});
