/** What stands in the cells of a row. */
import type { Status } from '../../../../server/protocol/overview.js';
import type { SheetRow } from '../../../../server/protocol/sheet.js';
import { html, svg } from './elements.js';
import { textOf, type Column } from '../rows.js';

const BAR = { width: 80, height: 12, zero: 20 };
/** Margins beyond these run to the end of the bar. */
const LARGEST = 1;
const SMALLEST = -1 / 3;

export function cell(row: SheetRow, column: Column): HTMLTableCellElement {
  const text = textOf(row, column);
  switch (column) {
    case 'requirement':
      return html('td', { title: row.text, 'data-column': column }, text);
    case 'margin':
      return html(
        'td',
        { 'data-column': column },
        html(
          'span',
          {
            class: [
              'number',
              row.margin === null ? 'words' : '',
              row.passes === false ? 'failing' : row.thin ? 'thin' : '',
            ]
              .filter(Boolean)
              .join(' '),
          },
          row.marginText,
        ),
        ...triedText(row),
        ...(row.margin === null ? [] : [marginBar(row)]),
      );
    case 'status':
      return html(
        'td',
        { title: text, 'data-column': column },
        html('span', { class: `status ${row.status}` }, statusIcon(row.status), text),
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

/** What a trial makes of the margin. */
function triedText({ tried }: SheetRow): HTMLElement[] {
  return tried
    ? [html('span', { class: tried.passes === false ? 'tried failing' : 'tried' }, `→ ${tried.marginText}`)]
    : [];
}

/** A bar from a drawn zero line; the number beside it says the same. */
function marginBar({ margin, kind, passes, thin }: SheetRow): SVGElement {
  const { width, height, zero } = BAR;
  const children = [];
  if (margin !== null && kind !== 'distance') {
    const bounded = Math.max(SMALLEST, Math.min(LARGEST, margin));
    const end = zero + (bounded / LARGEST) * (width - zero);
    children.push(
      svg('rect', {
        x: Math.min(zero, end),
        y: 2,
        width: Math.max(1, Math.abs(end - zero)),
        height: height - 4,
        class: passes === false ? 'bar failing' : thin ? 'bar thin' : 'bar',
      }),
    );
  }
  return svg(
    'svg',
    { class: 'margin-bar', viewBox: `0 0 ${width} ${height}`, width, height, 'aria-hidden': 'true' },
    ...children,
    svg('line', { x1: zero, x2: zero, y1: 0, y2: height, class: 'zero' }),
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
