/** A native table of which only the lines in sight are in the page: twenty thousand rows scroll as twenty do. */
import type { SheetRow } from '../../../../server/protocol/sheet.js';
import { cell, marginAxis, marginLines } from './cells.js';
import { html } from './elements.js';
import { COLUMNS, HEADINGS, type Column, type Line } from '../rows.js';

/** Every line is as high, in pixels; the style sheet says the same. */
const LINE_HEIGHT = 26;
/** Lines kept beyond the edges of what is seen. */
const BEYOND = 12;

export interface TableEvents {
  sort(column: Column): void;
  select(row: SheetRow): void;
  open(row: SheetRow): void;
  /** Pixels above what is seen. */
  scrolled(top: number): void;
}

export class Table {
  readonly element: HTMLElement;
  private readonly table = html('table', { 'aria-label': 'Margins' });
  private readonly body = html('tbody');
  private readonly headers = new Map<Column, HTMLTableCellElement>();
  private lines: readonly Line[] = [];
  /** Rows that came before the sheet they are of, by their ids. */
  private early: ReadonlyMap<string, SheetRow> = new Map();
  private earlyAreCurrent = false;
  private selected: string | null = null;
  private current: string | null = null;
  private printing = false;
  private required = 0;
  /** The row that was brought into sight, until someone scrolls. */
  private revealed: string | null = null;
  /** What is in the page: rows by their line, between two spacers. */
  private readonly drawn = new Map<number, HTMLTableRowElement>();
  private readonly above = spacer();
  private readonly below = spacer();

  constructor(private readonly events: TableEvents) {
    const head = html('tr', { 'aria-rowindex': 1 });
    for (const column of COLUMNS) {
      const button = html('button', { type: 'button', class: 'sort' }, HEADINGS[column]);
      button.addEventListener('click', () => events.sort(column));
      const header = html('th', { scope: 'col', 'data-column': column }, button);
      if (column === 'margin') button.append(marginAxis());
      this.headers.set(column, header);
      head.append(header);
    }
    this.table.style.setProperty('--margin-lines', marginLines());
    this.body.append(this.above, this.below);
    this.table.append(html('thead', {}, head), this.body);
    this.element = html(
      'div',
      {
        class: 'scroller',
        tabindex: 0,
        role: 'region',
        'aria-label': 'Margins; arrow keys move, Enter opens the source',
      },
      this.table,
    );
    this.element.addEventListener(
      'scroll',
      () => {
        this.render();
        events.scrolled(this.element.scrollTop);
      },
      { passive: true },
    );
    this.element.addEventListener('keydown', event => this.key(event));
    this.body.addEventListener('click', event => this.clicked(event, false));
    this.body.addEventListener('dblclick', event => this.clicked(event, true));
    // What stands below the table grows and shrinks with the row that is shown there: that row stays in sight.
    new ResizeObserver(() => {
      this.render();
      if (this.revealed !== null) this.reveal(this.revealed);
    }).observe(this.element);
    for (const moved of ['wheel', 'pointerdown', 'keydown'])
      this.element.addEventListener(moved, () => (this.revealed = null), { passive: true });
    window.addEventListener('beforeprint', () => this.print(true));
    window.addEventListener('afterprint', () => this.print(false));
  }

  /** `required`: the margin below which one is thin. */
  show(lines: readonly Line[], sort: Column, descending: boolean, required: number): void {
    this.lines = lines;
    this.early = new Map();
    this.required = required;
    const thin = required > 0 ? `; the dashed line stands at +${required}, below which a margin is thin` : '';
    this.headers.get('margin')!.title = `Bars stand on one axis, logarithmic beyond ±0.05${thin}`;
    this.table.setAttribute('aria-rowcount', String(lines.length + 1));
    this.table.classList.toggle(
      'trying',
      lines.some(line => line.kind === 'row' && line.row.tried),
    );
    for (const [column, header] of this.headers)
      header.setAttribute('aria-sort', column === sort ? (descending ? 'descending' : 'ascending') : 'none');
    this.redraw();
  }

  /** The row chosen in the table, and the one under the cursor of the editor. */
  mark(selected: string | null, current: string | null): void {
    this.selected = selected;
    this.current = current;
    this.redraw();
  }

  /** Ids of the rows that are in the page. */
  get inSight(): string[] {
    return [...this.drawn.values()].flatMap(row => row.dataset['id'] ?? []);
  }

  /** Shows rows of now where they stand, until a whole sheet says where they belong. */
  showEarly(rows: readonly SheetRow[]): void {
    this.early = new Map(rows.map(row => [row.id, row]));
    this.earlyAreCurrent = true;
    this.redraw();
  }

  /** What came early is older than the texts, too. */
  outdate(): void {
    this.earlyAreCurrent = false;
    for (const row of this.drawn.values()) row.classList.remove('early');
  }

  reveal(id: string): void {
    this.revealed = id;
    const index = this.indexOf(id);
    if (index < 0) return;
    const top = index * LINE_HEIGHT;
    const { scrollTop, clientHeight } = this.element;
    const head = LINE_HEIGHT;
    if (top < scrollTop || top + LINE_HEIGHT + head > scrollTop + clientHeight)
      this.scrollTo(Math.max(0, top - clientHeight / 3));
  }

  scrollTo(top: number): void {
    this.element.scrollTop = top;
    this.render();
  }

  private indexOf(id: string | null): number {
    return this.lines.findIndex(line => line.kind === 'row' && line.row.id === id);
  }

  private print(printing: boolean): void {
    this.printing = printing;
    this.redraw();
  }

  private redraw(): void {
    for (const row of this.drawn.values()) row.remove();
    this.drawn.clear();
    this.render();
  }

  /** Makes the rows that came into sight, and only those. */
  private render(): void {
    const { scrollTop, clientHeight } = this.element;
    const first = this.printing ? 0 : Math.max(0, Math.floor(scrollTop / LINE_HEIGHT) - BEYOND);
    const last = this.printing
      ? this.lines.length
      : Math.min(this.lines.length, Math.ceil((scrollTop + clientHeight) / LINE_HEIGHT) + BEYOND);
    for (const [index, row] of this.drawn) {
      if (first <= index && index < last) continue;
      row.remove();
      this.drawn.delete(index);
    }
    let next: Element = this.below;
    for (let index = last - 1; index >= first; index--) {
      const known = this.drawn.get(index);
      const row = known ?? this.line(this.lines[index]!, index);
      if (!known) {
        this.drawn.set(index, row);
        next.before(row);
      }
      next = row;
    }
    this.setSpace(this.above, first);
    this.setSpace(this.below, Math.max(0, this.lines.length - last));
  }

  private setSpace(row: HTMLTableRowElement, lines: number): void {
    row.style.height = `${lines * LINE_HEIGHT}px`;
    row.hidden = lines === 0;
  }

  private line(line: Line, index: number): HTMLTableRowElement {
    if (line.kind === 'heading')
      return html(
        'tr',
        { class: 'heading', 'aria-rowindex': index + 2 },
        html('th', { scope: 'rowgroup' }, `${line.title} (${line.count})`),
      );
    const row = this.early.get(line.row.id) ?? line.row;
    const classes = [
      row !== line.row && this.earlyAreCurrent ? 'early' : '',
      row.id === this.selected ? 'selected' : '',
      row.id === this.current ? 'current' : '',
      row.tried ? 'moved' : '',
    ]
      .filter(Boolean)
      .join(' ');
    return html(
      'tr',
      {
        'data-id': row.id,
        class: classes,
        'aria-rowindex': index + 2,
        'aria-selected': row.id === this.selected ? 'true' : undefined,
        'aria-current': row.id === this.current ? 'location' : undefined,
      },
      ...COLUMNS.map(column => cell(row, column, this.required)),
    );
  }

  private clicked(event: MouseEvent, twice: boolean): void {
    const id = (event.target as Element).closest('tr')?.getAttribute('data-id');
    const line = this.lines[this.indexOf(id ?? null)];
    if (line?.kind !== 'row') return;
    if (twice || (event.target as Element).closest('td[data-column=requirement]')) this.events.open(line.row);
    this.events.select(line.row);
  }

  private key(event: KeyboardEvent): void {
    if (event.target !== this.element) return;
    const at = this.indexOf(this.selected);
    const page = Math.max(1, Math.floor(this.element.clientHeight / LINE_HEIGHT) - 2);
    const steps: Readonly<Record<string, number>> = {
      ArrowDown: 1,
      ArrowUp: -1,
      PageDown: page,
      PageUp: -page,
      Home: -this.lines.length,
      End: this.lines.length,
    };
    const step = steps[event.key];
    const line = step === undefined ? this.lines[at] : this.rowFrom(at + step, Math.sign(step));
    if (line?.kind !== 'row') return;
    if (step !== undefined) this.events.select(line.row);
    else if (event.key === 'Enter') this.events.open(line.row);
    else return;
    event.preventDefault();
    this.reveal(line.row.id);
  }

  /** The nearest row at or beyond a line, headings passed over. */
  private rowFrom(index: number, direction: number): Line | undefined {
    let at = Math.max(0, Math.min(this.lines.length - 1, index));
    while (this.lines[at] && this.lines[at]!.kind !== 'row')
      at += at === 0 ? 1 : at === this.lines.length - 1 ? -1 : direction;
    return this.lines[at];
  }
}

function spacer(): HTMLTableRowElement {
  return html('tr', { class: 'spacer', 'aria-hidden': 'true' }, html('td'));
}
