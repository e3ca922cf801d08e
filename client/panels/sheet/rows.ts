/**
 * The rows of the sheet as they are shown: filtered, in groups of one kind of margin, sorted within each. No page
 * needed.
 */
import { spreadsheetCell } from '../../../server/protocol/cells.js';
import { STATUSES, type Status } from '../../../server/protocol/overview.js';
import type { Sheet, SheetKind, SheetRow } from '../../../server/protocol/sheet.js';

/** What decides stands first; a narrow panel shows no more than that. */
export const COLUMNS = [
  'requirement',
  'margin',
  'status',
  'mode',
  'governing',
  'applied',
  'allowable',
  'factors',
  'part',
] as const;
export type Column = (typeof COLUMNS)[number];

export const HEADINGS: Readonly<Record<Column, string>> = {
  requirement: 'Requirement',
  part: 'Part',
  mode: 'Failure mode',
  governing: 'Governing case',
  applied: 'Applied',
  allowable: 'Allowable',
  factors: 'Factors',
  margin: 'Margin',
  status: 'Status',
};

const GROUPS: readonly (readonly [SheetKind, string])[] = [
  ['undetermined', 'Undetermined'],
  ['strength', 'Margins of strength'],
  ['other', 'Margins on other limits'],
  ['distance', 'Margins of distance'],
  ['life', 'Margins of life'],
  ['probability', 'Margins of probability'],
  ['boolean', 'Conditions'],
  ['unbounded', 'Unbounded'],
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

export type Line =
  | { readonly kind: 'heading'; readonly title: string; readonly count: number }
  | { readonly kind: 'row'; readonly row: SheetRow };

/** The rows after a message of the server, which may hold only those that moved. */
export function merged(before: ReadonlyMap<string, SheetRow>, { rows, order }: Sheet): Map<string, SheetRow> {
  if (order === null) return new Map(rows.map(row => [row.id, row]));
  const moved = new Map(rows.map(row => [row.id, row]));
  if (order === 'as before') return new Map([...before].map(([id, row]) => [id, moved.get(id) ?? row]));
  return new Map(
    order.flatMap(id => {
      const row = moved.get(id) ?? before.get(id);
      return row ? [[id, row] as const] : [];
    }),
  );
}

export function textOf(row: SheetRow, column: Column): string {
  switch (column) {
    case 'requirement':
      return row.requirement;
    case 'part':
      return row.part ?? '';
    case 'mode':
      return row.mode ?? '';
    case 'governing':
      return [row.configuration, row.governing].filter(Boolean).join(': ');
    case 'applied':
      return row.applied;
    case 'allowable':
      return [row.allowable, row.basis && `basis ${row.basis}`, row.source].filter(Boolean).join(', ');
    case 'factors':
      return row.factors.join(' × ');
    case 'margin':
      return row.marginText;
    case 'status':
      return row.thin && row.status === 'verified' ? 'verified, thin' : row.status;
  }
}

export function shownLines(rows: Iterable<SheetRow>, view: View): Line[] {
  const words = view.filter.toLowerCase().split(/\s+/).filter(Boolean);
  const all = [...rows].filter(
    row =>
      (view.status === null || (view.status === 'thin' ? row.thin : row.status === view.status)) &&
      (!view.moved || row.tried !== null) &&
      words.every(word => searchText(row).includes(word)),
  );
  return groupsOf(all).flatMap(({ title, rows: group }) => [
    { kind: 'heading' as const, title, count: group.length },
    ...sorted(group, view).map(row => ({ kind: 'row' as const, row })),
  ]);
}

interface Group {
  readonly title: string;
  readonly rows: SheetRow[];
}

/** What fails, of whatever kind it is, then rows of one kind and unit, kinds in their order. */
function groupsOf(rows: readonly SheetRow[]): Group[] {
  const failing: Group = { title: 'Failing', rows: [] };
  const kinds = new Map(GROUPS.map(([kind, title]) => [kind, { title, units: new Map<string, Group>() }]));
  for (const row of rows) {
    const { title, units } = kinds.get(row.kind)!;
    const unit = row.unit ?? '';
    let group = row.passes === false ? failing : units.get(unit);
    if (!group) units.set(unit, (group = { title: unit ? `${title}, ${unit}` : title, rows: [] }));
    group.rows.push(row);
  }
  const others = [...kinds.values()].flatMap(({ units }) =>
    [...units].sort(([x], [y]) => order(x, y)).map(([, group]) => group),
  );
  return [failing, ...others].filter(group => group.rows.length > 0);
}

/** Remembers what is made of a row, which never changes, as long as the row is there. */
function remembered<T>(make: (row: SheetRow) => T): (row: SheetRow) => T {
  const known = new WeakMap<SheetRow, T>();
  return row => {
    let value = known.get(row);
    if (value === undefined) known.set(row, (value = make(row)));
    return value;
  };
}

const searchText = remembered(row => COLUMNS.map(column => textOf(row, column).toLowerCase()).join('\n'));

/**
 * Twenty thousand rows are sorted within a frame by plain comparison of strings; the rules of a language would take
 * seconds.
 */
const sortKeys: Readonly<Record<Column, (row: SheetRow) => string>> = Object.fromEntries(
  COLUMNS.map(column => [column, remembered(row => sortKey(textOf(row, column)))]),
) as never;

/** Numbers in it by their value, letters whatever their case. */
function sortKey(text: string): string {
  return text
    .toLowerCase()
    .normalize('NFD')
    .replace(/(\d+)(\.\d+)?/g, (_, whole: string, rest: string | undefined) => whole.padStart(12, '0') + (rest ?? ''));
}

function order<T>(x: T, y: T): number {
  return x < y ? -1 : x > y ? 1 : 0;
}

/** Keys are made once a row, not once a comparison. */
function sorted(rows: readonly SheetRow[], { sort, descending }: View): SheetRow[] {
  const direction = descending ? -1 : 1;
  const keyOf =
    sort === 'margin'
      ? kindOrder
      : sort === 'status'
        ? (row: SheetRow) => STATUSES.indexOf(row.status)
        : sortKeys[sort];
  return rows
    .map(row => ({
      row,
      key: keyOf(row),
      margin: sort === 'margin' ? (row.margin ?? Infinity) : 0,
      label: sortKeys.requirement(row),
    }))
    .sort(
      (x, y) =>
        (order(x.key, y.key) || order(x.margin, y.margin)) * direction ||
        order(x.label, y.label) ||
        order(x.row.id, y.row.id),
    )
    .map(({ row }) => row);
}

const KINDS = new Map(GROUPS.map(([kind], i) => [kind, i]));

/** Only in the group of what fails do kinds stand together: one after the other, none ranked against another. */
function kindOrder(row: SheetRow): number {
  return KINDS.get(row.kind)!;
}

/**
 * The check at a line of a file: of the requirement that begins there or next above, the check there or next above,
 * else its first.
 */
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
  const cell = (text: string): string => spreadsheetCell(text).replace(/[\t\r\n]+/g, ' ');
  return [
    COLUMNS.map(column => HEADINGS[column]).join('\t'),
    ...lines.map(line =>
      line.kind === 'heading' ? cell(line.title) : COLUMNS.map(column => cell(textOf(line.row, column))).join('\t'),
    ),
  ].join('\n');
}
