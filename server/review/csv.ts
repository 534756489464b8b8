const LINE_END = '\r\n';
/** A spreadsheet would run a text cell that begins like this as a formula. */
const FORMULA_START = /^[=+\-@\t\r]/;

export type Cell = string | number | null;

/**
 * One record of a CSV file, with its line end: RFC 4180 (2005) section 2. Text that a spreadsheet would take for a
 * formula gets an apostrophe in front; numbers stay numbers.
 */
export function csvLine(cells: readonly Cell[]): string {
  return cells.map(cell).join(',') + LINE_END;
}

function cell(value: Cell): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const text = FORMULA_START.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
