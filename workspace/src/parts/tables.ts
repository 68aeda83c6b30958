// What a table on the page says, as texts.

/** Titles and rows of a table. A row's small print stands behind what it belongs to; what opens is left out. */
export function readTable(table: HTMLTableElement): { titles: string[]; rows: string[][] } {
  const rows = [...table.tBodies].flatMap((body) => [...body.rows]).map((row) => [...row.cells].map(said));
  const head = table.tHead?.rows[0];
  const titles = head ? [...head.cells].map(said) : (rows[0] ?? []).map(() => '');
  return { titles, rows };
}

function said(cell: HTMLElement): string {
  const copy = cell.cloneNode(true) as HTMLElement;
  for (const one of copy.querySelectorAll('details, button')) one.remove();
  for (const one of copy.querySelectorAll('.key')) one.textContent = ` (${one.textContent?.trim() ?? ''})`;
  return (copy.textContent ?? '').replace(/[ \t\n]+/g, ' ').trim();
}
