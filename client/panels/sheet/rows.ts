/** The rows of the sheet as they are shown: filtered, in groups of one kind of margin, sorted within each. No page needed. */
import { STATUSES, type Status } from '../../../server/protocol/overview.js';
import type { Sheet, SheetKind, SheetRow } from '../../../server/protocol/sheet.js';

/** What decides stands first; a narrow panel shows no more than that. */
export const COLUMNS = ['requirement', 'margin', 'status', 'mode', 'governing', 'applied', 'allowable', 'factors', 'part'] as const;
export type Column = (typeof COLUMNS)[number];

export const HEADINGS: Readonly<Record<Column, string>> = {
  requirement: 'Requirement', part: 'Part', mode: 'Failure mode', governing: 'Governing case', applied: 'Applied', allowable: 'Allowable', factors: 'Factors', margin: 'Margin', status: 'Status',
};

const GROUPS: readonly (readonly [SheetKind, string])[] = [
  ['undetermined', 'Undetermined'], ['strength', 'Margins of strength'], ['distance', 'Margins of distance'], ['life', 'Margins of life'], ['probability', 'Margins of probability'], ['boolean', 'Conditions'], ['unbounded', 'Unbounded'],
];

export interface View {
  readonly filter: string;
  readonly status: Status | 'thin' | null;
  readonly sort: Column;
  readonly descending: boolean;
  /** Only rows that a trial moves. */
  readonly moved: boolean;
}

export const DEFAULT_VIEW: View = { filter: '', status: null, sort: 'margin', descending: false, moved: false };

export type Line = { readonly kind: 'heading'; readonly title: string; readonly count: number } | { readonly kind: 'row'; readonly row: SheetRow };

/** The rows after a message of the server, which may hold only those that moved. */
export function merged(before: ReadonlyMap<string, SheetRow>, { rows, order }: Sheet): Map<string, SheetRow> {
  if (order === null) return new Map(rows.map(row => [row.id, row]));
  const moved = new Map(rows.map(row => [row.id, row]));
  return new Map(order.flatMap(id => { const row = moved.get(id) ?? before.get(id); return row ? [[id, row] as const] : []; }));
}

export function textOf(row: SheetRow, column: Column): string {
  switch (column) {
    case 'requirement': return row.requirement;
    case 'part': return row.part ?? '';
    case 'mode': return row.mode ?? '';
    case 'governing': return [row.configuration, row.governing].filter(Boolean).join(': ');
    case 'applied': return row.applied;
    case 'allowable': return [row.allowable, row.basis && `basis ${row.basis}`, row.source].filter(Boolean).join(', ');
    case 'factors': return row.factors.join(' × ');
    case 'margin': return row.marginText;
    case 'status': return row.thin && row.status === 'verified' ? 'verified, thin' : row.status;
  }
}

export function shownLines(rows: Iterable<SheetRow>, view: View): Line[] {
  const words = view.filter.toLowerCase().split(/\s+/).filter(Boolean);
  const all = [...rows].filter(row => (view.status === null || (view.status === 'thin' ? row.thin : row.status === view.status)) && (!view.moved || row.tried !== null) && words.every(word => COLUMNS.some(column => textOf(row, column).toLowerCase().includes(word))));
  return GROUPS.flatMap(([kind, title]) => {
    const mine = all.filter(row => row.kind === kind);
    const units = [...new Set(mine.map(row => row.unit))].sort();
    return units.flatMap(unit => {
      const group = mine.filter(row => row.unit === unit).sort((x, y) => compare(x, y, view));
      return [{ kind: 'heading' as const, title: unit ? `${title}, ${unit}` : title, count: group.length }, ...group.map(row => ({ kind: 'row' as const, row }))];
    });
  });
}

function compare(x: SheetRow, y: SheetRow, { sort, descending }: View): number {
  const order = descending ? -1 : 1;
  const by = sort === 'margin' ? severity(x) - severity(y) || (x.margin ?? Infinity) - (y.margin ?? Infinity) || 0
    : sort === 'status' ? STATUSES.indexOf(x.status) - STATUSES.indexOf(y.status)
      : textOf(x, sort).localeCompare(textOf(y, sort), undefined, { numeric: true });
  return (Number.isNaN(by) ? 0 : by) * order || x.requirement.localeCompare(y.requirement, undefined, { numeric: true }) || x.id.localeCompare(y.id);
}

function severity(row: SheetRow): number {
  return row.passes === false ? 0 : row.passes === null ? 1 : 2;
}

/** The check at a line of a file: of the requirement that begins there or next above, the check there or next above, else its first. */
export function rowAt(rows: Iterable<SheetRow>, uri: string, line: number): SheetRow | null {
  let best: SheetRow | null = null;
  for (const row of rows) {
    if (row.location.uri !== uri || row.requirementLine > line) continue;
    const nearer = !best || row.requirementLine > best.requirementLine;
    if (nearer || (row.requirementLine === best!.requirementLine && row.location.line <= line)) best = row;
  }
  return best;
}

/** The lines as a table of text, for a report or a spreadsheet. */
export function tabSeparated(lines: readonly Line[]): string {
  const cell = (text: string): string => text.replace(/[\t\r\n]+/g, ' ');
  return [COLUMNS.map(column => HEADINGS[column]).join('\t'), ...lines.map(line => line.kind === 'heading' ? cell(line.title) : COLUMNS.map(column => cell(textOf(line.row, column))).join('\t'))].join('\n');
}
