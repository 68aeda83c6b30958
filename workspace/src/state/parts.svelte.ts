// What the server last said of a whole, part by part: who looks at one part is not told of changes of the others.

interface Cell { value: unknown }

function cell(first: unknown): Cell {
  let value = $state.raw(first);
  return {
    get value() { return value; },
    set value(now) { value = now; },
  };
}

/** Parts that follow what is taken in. `whole` has them by their names; it stays the same object. */
export class Parts<T extends object> {
  readonly whole = {} as T;
  #cells = new Map<string, Cell>();

  /** Take in the parts that are told, each in place of what it was; the first time all are told. */
  take(told: Partial<T>): void {
    for (const [name, now] of Object.entries(told)) {
      const known = this.#cells.get(name);
      if (known) known.value = shared(known.value, now);
      else this.#add(name, cell(now));
    }
  }

  #add(name: string, made: Cell): void {
    this.#cells.set(name, made);
    Object.defineProperty(this.whole, name, { enumerable: true, get: () => made.value });
  }
}

/**
 * Return `now` with whatever reads there as at its place in `before` replaced by that very object:
 * it need not be drawn again. `now` is changed in place.
 */
export function shared(before: unknown, now: unknown): unknown {
  if (!isTree(before) || !isTree(now) || Array.isArray(before) !== Array.isArray(now)) return now;
  const names = Object.keys(now);
  let same = names.length === Object.keys(before).length;
  for (const name of names) {
    now[name] = shared(before[name], now[name]);
    same &&= now[name] === before[name] && name in before;
  }
  return same ? before : now;
}

function isTree(one: unknown): one is Record<string, unknown> {
  return typeof one === 'object' && one !== null;
}
