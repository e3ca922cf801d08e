/** What stands in the cells of a row. */
import type { Status } from '../../../../server/protocol/overview.js';
import type { SheetRow } from '../../../../server/protocol/sheet.js';
import { html, svg } from './elements.js';
import { BAR, placeOf, TICKS } from '../axis.js';
import { textOf, type Column } from '../rows.js';

/** `required`: the margin below which one is thin. */
export function cell(row: SheetRow, column: Column, required: number): HTMLTableCellElement {
  const text = textOf(row, column);
  switch (column) {
    case 'requirement':
      return html('td', { title: row.text, 'data-column': column }, text);
    case 'margin':
      return html('td', { 'data-column': column }, html('div', { class: 'margin' }, ...marginParts(row, required)));
    case 'status':
      return html(
        'td',
        { title: text, 'data-column': column },
        html('span', { class: `status ${row.status}` }, statusIcon(row.status), text),
        ...statusTried(row),
      );
    case 'allowable':
      return html(
        'td',
        { title: text, 'data-column': column },
        row.allowable,
        html('span', { class: 'muted' }, [row.basis && ` ${row.basis}`, row.source].filter(Boolean).join(' · ')),
      );
    default:
      return html('td', { title: text, 'data-column': column }, text);
  }
}

function marginParts(row: SheetRow, required: number): Element[] {
  const drawn = row.margin !== null && row.kind !== 'distance';
  const classes = ['number', drawn ? '' : 'words', row.passes === false ? 'failing' : row.thin ? 'thin' : ''];
  return [
    // The status says it once.
    html('span', { class: classes.filter(Boolean).join(' ') }, row.marginText === row.status ? '' : row.marginText),
    ...triedText(row),
    ...(drawn ? [marginBar(row, required)] : []),
  ];
}

/** What a trial makes of the margin. */
function triedText({ tried }: SheetRow): HTMLElement[] {
  return tried
    ? [html('span', { class: tried.passes === false ? 'tried failing' : 'tried' }, `→ ${tried.marginText}`)]
    : [];
}

/** What a trial makes of the status. */
function statusTried({ tried, status }: SheetRow): HTMLElement[] {
  return tried && tried.status !== status
    ? [html('span', { class: `tried ${tried.status}` }, ` → ${tried.status}`)]
    : [];
}

/** A bar from the zero line of the axis that all share; the number beside it says the same. */
function marginBar({ margin, passes, thin, tried }: SheetRow, required: number): SVGElement {
  const { width, height } = BAR;
  const mark = (at: number, name: string): SVGElement =>
    svg('line', { x1: placeOf(at), x2: placeOf(at), y1: 0, y2: height, class: name });
  const bar = (value: number, name: string): SVGElement => {
    const [zero, end] = [placeOf(0), placeOf(value)];
    const size = { x: Math.min(zero, end), width: Math.max(1, Math.abs(end - zero)) };
    return svg('rect', { ...size, y: 3, height: height - 6, class: name });
  };
  return svg(
    'svg',
    { class: 'margin-bar', viewBox: `0 0 ${width} ${height}`, width, height, 'aria-hidden': 'true' },
    bar(margin!, passes === false ? 'bar failing' : thin ? 'bar thin' : 'bar'),
    ...(tried?.margin == null ? [] : [bar(tried.margin, tried.passes === false ? 'bar tried failing' : 'bar tried')]),
    ...(required > 0 ? [mark(required, 'required')] : []),
    mark(0, 'zero'),
  );
}

/** Lines behind all bars, at the marks of their axis: one background, so that rows are made quickly. */
export function marginLines(): string {
  const line = 'linear-gradient(var(--picture-grid), var(--picture-grid))';
  return TICKS.map(([at]) => `${line} ${placeOf(at)}px 0 / 1px 100% no-repeat`).join(', ');
}

/** What the bars are read by. Marks of the style sheet: the head of the column says no more than its name. */
export function marginAxis(): HTMLElement {
  return html(
    'span',
    { class: 'axis', 'aria-hidden': 'true' },
    ...TICKS.map(([at, label]) => {
      const tick = html('span', { 'data-label': label });
      tick.style.left = `${placeOf(at)}px`;
      return tick;
    }),
  );
}

const SHAPES: Readonly<Record<Status, string>> = {
  failing: 'M4 4 L12 12 M12 4 L4 12',
  undetermined: 'M5.5 6 A2.5 2.5 0 1 1 8 8.5 V10 M8 12 V12.6',
  waived: 'M8 3 V13 M4 13 H12 M3 5 H13 M3 5 L1.5 9 H4.5 Z M13 5 L11.5 9 H14.5 Z',
  lapsed: 'M8 5 V8.5 L10.5 10 M3 8 A5 5 0 1 0 5 4 M5 2 V4.5 H7.5',
  unverified: 'M8 3 A5 5 0 1 1 7.99 3 Z',
  verified: 'M3 8.5 L6.5 12 L13 4.5',
};

function statusIcon(status: Status): SVGElement {
  return svg(
    'svg',
    { class: 'icon', viewBox: '0 0 16 16', width: 14, height: 14, 'aria-hidden': 'true' },
    svg('path', { d: SHAPES[status] }),
  );
}
