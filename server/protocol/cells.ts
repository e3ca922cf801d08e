/**
 * A cell as it goes to a spreadsheet: what one would take for a formula is told to be text; a number stays one.
 */
export function spreadsheetCell(text: string): string {
  return /^[=+\-@\t\r]/.test(text) && !/^[+-]?[\d.]+(?:e[+-]?\d+)?(?: %)?$/i.test(text) ? `'${text}` : text;
}
