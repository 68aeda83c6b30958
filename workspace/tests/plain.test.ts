// What the page works out by itself: order and filters of verdicts, places on the ribbon, labels, pasting.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { counted, filtered, inScope, sorted } from '../src/ledger/order';
import { kept } from '../src/ribbon/choosing';
import { boxes, named, runs } from '../src/ribbon/scale';
import { middle, numbersAcross } from '../src/column/across';
import { spread } from '../src/column/spread';
import { arrange, pulled } from '../src/column/layout';
import { beforeLastChange, ends } from '../src/compare/revisions';
import { likeWritten, pasteOver } from '../src/inputs/table';
import type { LedgerRow, StepMark, TableText } from '../src/api/types';

const row = (id: string, status: string, margin: number | null, z: number | null = null, more: object = {}): LedgerRow =>
  ({ id, check: id, status, margin, z, step: 's', discipline: 'fluids', question: '', section: '', reason: '', remedy: '', caution: '', note: '', ...more }) as LedgerRow;
const ids = (rows: LedgerRow[]): string[] => rows.map((one) => one.id);
const step = (name: string, section: string, start: number, end: number): StepMark => ({ name, section, index: 0, duration: end - start, start, end }) as StepMark;

test('what was not judged stands before what is tight, and never among what holds', () => {
  const rows = [row('holds', 'holds', 0.5), row('tight', 'tight', -1), row('unjudged', 'not judged', null), row('fails', 'fails', -0.2), row('worse', 'fails', -0.4)];
  assert.deepEqual(ids(sorted(rows, 'urgency', [])), ['worse', 'fails', 'unjudged', 'tight', 'holds']);
  assert.deepEqual(ids(sorted(rows, 'margin', [])).at(-1), 'unjudged');
  assert.equal(counted(rows)['not judged'], 1);
});

test('filters are all of them kept at once, and a search finds words in any order', () => {
  const rows = [row('a', 'fails', 0, 0, { question: 'Does the mud hold the pore pressure?' }), row('b', 'holds', 0, 0, { question: 'Does the mud freeze?' })];
  assert.deepEqual(ids(filtered(rows, { statuses: [], disciplines: [], text: 'PRESSURE mud' })), ['a']);
  assert.deepEqual(ids(filtered(rows, { statuses: ['holds'], disciplines: ['fluids'], text: 'mud' })), ['b']);
  assert.deepEqual(ids(filtered(rows, { statuses: ['holds'], disciplines: ['steel'], text: '' })), []);
});

test('rows that are alike in all that is asked for stand as everywhere, whatever order they came in', () => {
  const rows = [row('b', 'holds', 0.5), row('c', 'holds', 0.5), row('a', 'holds', 0.5)];
  for (const sort of ['urgency', 'margin', 'work', 'depth'] as const) assert.deepEqual(ids(sorted(rows, sort, [])), ['a', 'b', 'c']);
});

test('a step that the walk does not come to is chosen again once it does, unless another was chosen', () => {
  const [drill, run] = [step('drill', 'one', 0, 1), step('run', 'one', 1, 2)];
  const stopped = kept([drill!], { step: 'run', missed: '' });
  assert.deepEqual(stopped, { step: '', missed: 'run' });
  assert.deepEqual(kept([drill!], stopped), stopped);
  assert.deepEqual(kept([drill!, run!], stopped), { step: 'run', missed: '' });
  assert.deepEqual(kept([drill!, run!], { step: 'drill', missed: 'run' }), { step: 'drill', missed: '' });
});

test('by depth what has no depth comes last', () => {
  assert.deepEqual(ids(sorted([row('none', 'holds', 1), row('deep', 'holds', 1, 900), row('high', 'holds', 1, 10)], 'depth', [])), ['high', 'deep', 'none']);
});

test('the section of a step is all its steps', () => {
  const steps = [step('drill', 'one', 0, 1), step('run', 'one', 1, 2), step('drill-2', 'two', 2, 3)];
  const rows = [row('a', 'holds', 0, 0, { step: 'drill' }), row('b', 'holds', 0, 0, { step: 'run' }), row('c', 'holds', 0, 0, { step: 'drill-2' })];
  assert.deepEqual(ids(inScope(rows, 'section', steps[0], steps)), ['a', 'b']);
  assert.deepEqual(ids(inScope(rows, 'step', steps[0], steps)), ['a']);
});

test('the ribbon fills its room, keeps every step wide enough to hit, and time in proportion among the others', () => {
  const all = boxes([step('a', 'one', 0, 1), step('b', 'one', 1, 4001), step('c', 'two', 4001, 12001)], 600, 'time');
  assert.ok(Math.abs(all.reduce((sum, one) => sum + one.width, 0) - 600) < 1e-6);
  assert.deepEqual(all.map((one) => one.stretched), [true, false, false]);
  assert.ok(Math.abs(all[2]!.width / all[1]!.width - 2) < 1e-9);
  assert.deepEqual(runs(all).map((one) => one.boxes.length), [2, 1]);
});

test('a title in a box is cut between words alone', () => {
  assert.equal(named('Core the target interval', 400), 'Core the target interval');
  assert.equal(named('Drill section-812', 80), 'Drill…');
  assert.equal(named('Drill section-812', 28), '');
  assert.equal(named('', 80), '');
});

test('a narrow track has two numbers at least, none into another, wherever they fit', () => {
  for (const [low, high, width] of [[0, 105, 50], [-4, 26, 50], [3, 260, 60], [0, 1700, 196], [32, 400, 50]] as const) {
    const marks = numbersAcross(low, high, width);
    assert.ok(marks.length > (high === 400 ? 0 : 1), `${low} to ${high}`); // there no two fit
    for (const [i, { x, text }] of marks.entries()) {
      assert.ok(Math.abs((x / width) * (high - low) + low - Number(text.replace(/\s/g, '').replace('\u2212', '-'))) < 1e-6 * high);
      const before = marks[i - 1];
      if (before) assert.ok(middle({ x, text }, width) - middle(before, width) > 3 * (text.length + before.text.length), `${text} after ${before.text}`);
    }
  }
});

test('labels stand near their places, in order, none over another', () => {
  const centres = spread([10, 11, 12, 300].map((at) => ({ at, size: 20 })), 0, 310);
  for (let i = 1; i < centres.length; i++) assert.ok(centres[i]! - centres[i - 1]! >= 20 - 1e-9);
  assert.ok(centres[0]! >= 10 && centres.at(-1)! <= 300);
  assert.ok(Math.abs(centres[1]! - 30) < 1e-9); // pushed down from the edge, not through it
});

test('tracks fill the width, and pulling a border moves that border alone', () => {
  const all = ['rock', 'window', 'hole', 'temperature', 'strength', 'budget'] as const;
  const arranged = arrange(1200, all, {});
  assert.equal(arranged.placed.reduce((sum, one) => sum + one.width, 0), 1200);
  assert.deepEqual(arranged.left, []);
  const after = arrange(1200, all, pulled(arranged, {}, 'window', 40));
  const width = (of: typeof arranged, id: string): number => of.placed.find((one) => one.id === id)!.width;
  assert.ok(Math.abs(width(after, 'window') - width(arranged, 'window') - 40) <= 2);
  assert.ok(Math.abs(width(after, 'rock') - width(arranged, 'rock')) <= 2);
  assert.ok(arrange(500, all, {}).left.length > 0); // what there is no room for is said
});

test('a pasted block changes the cells that differ, and one that does not fit changes none', () => {
  const table = { file: 'sea.csv', columns: [{ name: 'depth' }, { name: 'temperature' }], rows: [['0', '18'], ['10', '17']] } as TableText;
  assert.deepEqual(pasteOver(table, 0, 1, '18\r\n16.5\r\n'), [{ op: 'cell', file: 'sea.csv', row: 1, column: 'temperature', text: '16.5' }]);
  assert.match(String(pasteOver(table, 1, 1, '1\n2')), /2 rows were pasted at row 2 of 2/);
  assert.match(String(pasteOver(table, 0, 1, '1\t2')), /2 columns/);
  assert.equal(likeWritten(17.38, '18.0'), '17.4');
});

test('before my last change stands before all of its drag', () => {
  const one = (number: number, author: string, gesture: string): never => ({ number, author, gesture }) as never;
  const revisions = [one(5, 'b', ''), one(4, 'a', 'g'), one(3, 'a', 'g'), one(2, 'b', ''), one(1, 'a', '')];
  assert.equal(beforeLastChange(revisions, 'a')?.number, 2);
  assert.equal(beforeLastChange(revisions, 'nobody'), undefined);
});

test('of a drag its end is listed, what is signed or chosen on its way too, and every other change', () => {
  const one = (number: number, gesture: string, ...signed_by: string[]): never => ({ number, gesture, signed_by }) as never;
  const revisions = [one(8, 'h'), one(7, 'h'), one(6, ''), one(5, ''), one(4, 'g'), one(3, 'g', 'Sigrid'), one(2, 'g'), one(1, '')];
  const numbers = (chosen: (number | null)[]): number[] => ends(revisions, chosen).map((each) => each.number);
  assert.deepEqual(numbers([null, null]), [8, 6, 5, 4, 3, 1]);
  assert.deepEqual(numbers([2, 7]), [8, 7, 6, 5, 4, 3, 2, 1]);
});
