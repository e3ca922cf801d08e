/** The page of the margin sheet. */
import { STATUSES, type Status } from '../../../../server/protocol/overview.js';
import type { Sheet, SheetRow } from '../../../../server/protocol/sheet.js';
import type { FromPage, ProjectName, ToPage, TriedText } from '../messages.js';
import { Detail } from './detail.js';
import { html } from './elements.js';
import { kilograms } from '../../../common/numbers.js';
import { pixelsOf } from './pixels.js';
import { DEFAULT_VIEW, merged, rowAt, shownLines, tabSeparated, type Column, type View } from '../rows.js';
import { Table } from './table.js';
import { TrialBar } from './trial.js';

interface Kept {
  readonly view: View;
  readonly project: string | null;
  readonly selected: string | null;
  readonly follow: boolean;
  readonly scroll: number;
  readonly tried: readonly TriedText[];
}
declare function acquireVsCodeApi(): {
  postMessage(message: FromPage): void;
  getState(): Partial<Kept> | undefined;
  setState(state: Kept): void;
};

/** A pause in scrolling after which the place is remembered, in milliseconds. */
const SCROLL_REST = 100;
/** The heading where no project gives its name. */
const UNNAMED = 'Margin sheet';

const editor = acquireVsCodeApi();
const kept = editor.getState() ?? {};

class Page {
  private rows = new Map<string, SheetRow>();
  /** Rows of the sheet that is on its way. */
  private readonly coming: SheetRow[] = [];
  private sheet: Sheet | null = null;
  /** How often rows in sight were asked for. */
  private asked = 0;
  private view: View = { ...DEFAULT_VIEW, ...kept.view };
  private project = kept.project ?? null;
  private selected = kept.selected ?? null;
  private current: string | null = null;
  private follow = kept.follow ?? true;
  private scroll = kept.scroll ?? 0;
  /** The first rows of a page that was there before stand where they stood, wherever the cursor is. */
  private restoring = kept.scroll !== undefined;
  private keeping = 0;
  private tried: readonly TriedText[] = kept.tried ?? [];
  private cursor: { readonly uri: string; readonly line: number } | null = null;

  private readonly heading = html('h1', {}, UNNAMED);
  private readonly about = html('p', { class: 'about' });
  private readonly projects = html('select', { 'aria-label': 'Project' });
  private readonly filter = html('input', {
    type: 'search',
    placeholder: 'Filter',
    'aria-label': 'Filter rows by any of their words',
    value: this.view.filter,
  });
  private readonly status = html(
    'select',
    { 'aria-label': 'Status' },
    html('option', { value: '' }, 'All statuses'),
    ...[...STATUSES, 'thin'].map(status => html('option', { value: status }, status)),
  );
  private readonly moved = html('input', { type: 'checkbox', id: 'moved' });
  private readonly following = html('input', { type: 'checkbox', id: 'follow' });
  private readonly count = html('span', { class: 'count', role: 'status' });
  private readonly empty = html('p', { class: 'empty' });
  /** Why the table holds no row. */
  private readonly none = html('p', { class: 'none muted' });
  private readonly content: HTMLElement;
  private readonly table = new Table({
    sort: column => this.sort(column),
    select: row => this.select(row),
    open: row => this.post({ kind: 'open', location: row.location }),
    scrolled: top => this.keepScroll(top),
  });
  private readonly detail = new Detail({
    draw: subject => this.post({ kind: 'draw', subject }),
    spectra: () => this.post({ kind: 'spectra' }),
    work: row => this.post({ kind: 'work', row }),
    open: location => this.post({ kind: 'open', location }),
    save: (format, name, content) => this.post({ kind: 'save', format, name, content }),
    savePixels: (name, subject) => this.post({ kind: 'savePixels', name, subject }),
  });
  private readonly trial = new TrialBar({
    tryAtCursor: () => this.post({ kind: 'tryAtCursor' }),
    changed: values => this.tryValues(values),
    choices: name => this.post({ kind: 'choices', name }),
    zeroMargin: (name, row) => this.post({ kind: 'zeroMargin', name, row }),
    apply: () => this.post({ kind: 'apply' }),
  });

  constructor() {
    const copy = html(
      'button',
      { type: 'button', class: 'secondary', title: 'Copies the rows shown, for a report or a spreadsheet' },
      'Copy table',
    );
    copy.addEventListener('click', () => this.post({ kind: 'copy', text: tabSeparated(this.lines()) }));
    this.filter.addEventListener('input', () => this.change({ filter: this.filter.value }));
    this.status.value = this.view.status ?? '';
    this.status.addEventListener('change', () => this.change({ status: (this.status.value || null) as Status | null }));
    this.moved.addEventListener('change', () => this.change({ moved: this.moved.checked }));
    this.following.checked = this.follow;
    this.following.addEventListener('change', () => this.setFollow(this.following.checked));
    this.projects.addEventListener('change', () => this.show(this.projects.value));
    const movedLabel = html(
      'label',
      { for: 'moved', class: 'check', id: 'moved-label' },
      this.moved,
      'moved by the trial',
    );
    const tools = html(
      'div',
      { class: 'tools', role: 'group', 'aria-label': 'What is shown' },
      this.filter,
      this.status,
      movedLabel,
      html('label', { for: 'follow', class: 'check' }, this.following, 'follow the cursor'),
      this.count,
      copy,
    );
    this.content = html(
      'div',
      { class: 'content' },
      tools,
      this.trial.element,
      this.none,
      this.table.element,
      this.detail.element,
    );
    document.body.append(
      html(
        'main',
        {},
        html('header', {}, html('div', { class: 'title' }, this.heading, this.projects, this.trial.start), this.about),
        this.empty,
        this.content,
        html('footer', {}, 'A check aid: verify independently; the launch authority and licensed practice decide.'),
      ),
    );
    this.content.hidden = true;
    this.projects.hidden = true;
    this.empty.textContent = 'Reading margins …';
    window.addEventListener('message', event => this.receive(event.data as ToPage));
    this.post({ kind: 'ready', project: this.project, tried: this.tried });
  }

  private post(message: FromPage): void {
    editor.postMessage(message);
  }

  private receive(message: ToPage): void {
    switch (message.kind) {
      case 'rows':
        return void this.coming.push(...message.rows);
      case 'sheet':
        return this.showSheet(message.sheet, message.project, message.projects);
      case 'outdated':
        return this.waitForOthers();
      case 'inSight':
        return message.n === this.asked ? this.table.showEarly(message.rows) : undefined;
      case 'empty':
        return this.showEmpty(message.message);
      case 'cursor':
        return this.moveCursor(message.uri, message.line);
      case 'plot':
        return this.detail.receive(message.subject, message.plot);
      case 'spectra':
        return this.detail.setLoads(message.loads);
      case 'worked':
        return this.detail.explain(message.row, message.worked);
      case 'choices':
        return this.trial.offer(message.name, message.choices);
      case 'zeroMargin':
        return this.trial.found(message.name, message.text, message.message);
      case 'trialEnded':
        return this.trial.clear();
      case 'tryable':
        return this.trial.add(message.name, message.written, message.choices);
      case 'pixels':
        return void pixelsOf(message.svg).then(base64 => this.post({ kind: 'pixels', name: message.name, base64 }));
    }
  }

  /** Numbers that are older than the texts are faded, and a bar says that others will come. */
  private setWaiting(waiting: boolean): void {
    this.content.classList.toggle('waiting', waiting);
    this.content.setAttribute('aria-busy', String(waiting));
  }

  /** Those that someone looks at are asked for at once. */
  private waitForOthers(): void {
    this.setWaiting(true);
    this.table.outdate();
    this.post({ kind: 'inSight', n: ++this.asked, ids: this.table.inSight });
  }

  private showSheet(sheet: Sheet, project: string, projects: readonly ProjectName[]): void {
    this.setWaiting(false);
    this.sheet = sheet;
    this.project = project;
    this.rows = merged(this.rows, { ...sheet, rows: [...this.coming.splice(0), ...sheet.rows] });
    this.heading.textContent = sheet.name || UNNAMED;
    const { mass } = sheet;
    this.about.textContent = [
      sheet.revision && `revision ${sheet.revision}`,
      `as of ${sheet.asOf} (${sheet.asOfOrigin})`,
      sheet.configurations.join(', ') || 'base model',
      mass.predicted === null
        ? 'predicted mass undetermined'
        : `${kilograms(mass.predicted)} predicted${mass.limit === null ? '' : ` of ${kilograms(mass.limit)}`}`,
    ]
      .filter(Boolean)
      .join(' · ');
    this.projects.replaceChildren(...projects.map(({ uri, name }) => html('option', { value: uri }, name)));
    this.projects.value = project;
    this.projects.hidden = projects.length < 2;
    this.content.hidden = false;
    this.empty.hidden = true;
    this.trial.show(sheet, this.rows.values());
    document.getElementById('moved-label')!.hidden = sheet.trial.values.length === 0;
    if (sheet.trial.values.length === 0 && this.view.moved) this.moved.checked = false;
    const top = this.restoring ? this.scroll : null;
    this.render();
    if (top !== null) this.table.scrollTo(top);
    this.choose(this.selected, true);
    if (this.cursor) this.moveCursor(this.cursor.uri, this.cursor.line);
  }

  private showEmpty(message: string): void {
    this.rows.clear();
    this.heading.textContent = UNNAMED;
    this.about.textContent = '';
    this.content.hidden = true;
    this.empty.hidden = false;
    this.empty.textContent = message;
  }

  private show(project: string): void {
    this.rows.clear();
    this.selected = null;
    this.post({ kind: 'choose', project });
  }

  private lines(): ReturnType<typeof shownLines> {
    return shownLines(this.rows.values(), {
      ...this.view,
      moved: this.view.moved && (this.sheet?.trial.values.length ?? 0) > 0,
    });
  }

  private render(): void {
    const lines = this.lines();
    const shown = lines.filter(line => line.kind === 'row').length;
    this.count.textContent = shown === this.rows.size ? `${shown} checks` : `${shown} of ${this.rows.size} checks`;
    this.table.show(lines, this.view.sort, this.view.descending, this.sheet?.thinBelow ?? 0);
    this.none.textContent =
      shown > 0
        ? ''
        : this.rows.size === 0
          ? 'The project has no check yet: write a requirement with a check in it.'
          : 'No row is left by the filter and the status chosen above.';
    this.keep();
  }

  private change(change: Partial<View>): void {
    this.view = { ...this.view, ...change };
    this.render();
  }

  private sort(column: Column): void {
    this.change({ sort: column, descending: this.view.sort === column ? !this.view.descending : false });
  }

  private select(row: SheetRow): void {
    this.choose(row.id);
    this.table.mark(this.selected, this.current);
    this.keep();
  }

  /** The row that the picture, the facts and a zero margin are of. */
  private choose(id: string | null, moved = false): void {
    const row = this.rows.get(id ?? '') ?? null;
    this.selected = id;
    this.trial.aim(row);
    this.detail.select(row);
    if (moved) this.detail.refresh();
  }

  private tryValues(values: readonly TriedText[]): void {
    this.tried = values;
    this.post({ kind: 'try', values });
    this.keep();
  }

  private setFollow(follow: boolean): void {
    this.follow = follow;
    if (this.cursor) this.moveCursor(this.cursor.uri, this.cursor.line);
    this.keep();
  }

  /** The row whose check the cursor is in, or next below. */
  private moveCursor(uri: string, line: number): void {
    this.cursor = { uri, line };
    const row = this.follow ? rowAt(this.rows.values(), uri, line) : null;
    if (row?.id === this.current) return;
    this.current = row?.id ?? null;
    if (row) this.choose(row.id);
    this.table.mark(this.selected, this.current);
    if (row && !this.restoring) this.table.reveal(row.id);
    this.restoring = false;
  }

  private keepScroll(top: number): void {
    this.scroll = top;
    window.clearTimeout(this.keeping);
    this.keeping = window.setTimeout(() => this.keep(), SCROLL_REST);
  }

  private keep(): void {
    editor.setState({
      view: this.view,
      project: this.project,
      selected: this.selected,
      follow: this.follow,
      scroll: this.scroll,
      tried: this.tried,
    });
  }
}

new Page();
