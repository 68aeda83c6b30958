// Cells of a prognosis table as text; what is pasted into it. No number is converted here.
import type { TableText } from '../api/types';

export interface RowEdit { op: 'insert-row' | 'remove-row'; file: string; row: number }
export interface CellEdit { op: 'cell'; file: string; row: number; column: string; text: string }

/** Rows and cells of text copied from a spreadsheet. */
export function cellsOf(pasted: string): string[][] {
  const lines = pasted.replaceAll('\r\n', '\n').replaceAll('\r', '\n').split('\n');
  while (lines.length && lines.at(-1) === '') lines.pop();
  return lines.map((line) => line.split('\t').map((cell) => cell.trim()));
}

/** The edits that lay a pasted block over the table from one cell on, or why it does not fit. */
export function pasteOver(table: TableText, row: number, column: number, pasted: string): CellEdit[] | string {
  const block = cellsOf(pasted);
  const wide = Math.max(...block.map((cells) => cells.length));
  if (row + block.length > table.rows.length)
    return `${block.length} rows were pasted at row ${row + 1} of ${table.rows.length}: put rows below it first, or bring a longer table in.`;
  if (column + wide > table.columns.length)
    return `${wide} columns were pasted, but only ${table.columns.length - column} stand from here on.`;
  const edits: CellEdit[] = [];
  block.forEach((cells, down) =>
    cells.forEach((text, right) => {
      const name = table.columns[column + right]!.name;
      if (table.rows[row + down]![column + right] !== text)
        edits.push({ op: 'cell', file: table.file, row: row + down, column: name, text });
    }),
  );
  return edits;
}

/** A dragged number as text, with about as many digits as the cell had. */
export function likeWritten(value: number, before: string): string {
  const decimals = /\.(\d+)/.exec(before)?.[1]?.length ?? 0;
  return value.toFixed(Math.min(decimals, 6));
}

/** The numbers of a column; null where a cell is empty or no number. */
export function numbersOf(table: TableText, column: number): (number | null)[] {
  return table.rows.map((cells) => {
    const text = cells[column] ?? '';
    const value = text === '' ? NaN : Number(text);
    return Number.isFinite(value) ? value : null;
  });
}
