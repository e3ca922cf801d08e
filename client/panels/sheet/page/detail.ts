/** The picture below the table: a check's sweep, a spectrum, the masses. */
import type { Location } from '../../../../server/protocol/overview.js';
import type { Plot, PlotSubject, SheetRow, Worked } from '../../../../server/protocol/sheet.js';
import { html, pictureOf } from './elements.js';

export interface DetailEvents {
  draw(subject: PlotSubject): void;
  spectra(): void;
  work(row: string): void;
  open(location: Location): void;
  save(format: 'svg' | 'csv', name: string, content: string): void;
  savePixels(name: string, subject: PlotSubject): void;
}

type Tab = PlotSubject['kind'];
const TABS: readonly (readonly [Tab, string])[] = [
  ['sweep', 'Sweep'],
  ['spectrum', 'Spectrum'],
  ['mass', 'Mass by part'],
];

export class Detail {
  readonly element: HTMLElement;
  private readonly tabs = new Map<Tab, HTMLButtonElement>();
  private readonly picture = html('div', { class: 'picture', id: 'picture', role: 'tabpanel', tabindex: 0 });
  private readonly loads = html('select', { 'aria-label': 'Spectrum of' });
  private readonly actions = html('div', { class: 'actions' });
  private readonly facts = html('div', { class: 'facts' });
  private tab: Tab = 'sweep';
  private row: SheetRow | null = null;
  private plot: Plot | null = null;
  private worked: Worked | null = null;
  private loadsKnown = false;

  constructor(private readonly events: DetailEvents) {
    const list = html('div', { role: 'tablist', 'aria-label': 'Pictures' });
    for (const [tab, title] of TABS) {
      const button = html(
        'button',
        { type: 'button', role: 'tab', 'aria-controls': 'picture', id: `tab-${tab}` },
        title,
      );
      button.addEventListener('click', () => this.choose(tab));
      this.tabs.set(tab, button);
      list.append(button);
    }
    list.addEventListener('keydown', event => this.step(event));
    this.loads.addEventListener('change', () => this.request());
    this.actions.append(
      this.action('Save SVG', () => this.plot && events.save('svg', this.plot.title, this.plot.svg)),
      this.action('Save PNG', () => this.plot && events.savePixels(this.plot.title, this.subject()!)),
      this.action('Save CSV', () => this.plot && events.save('csv', this.plot.title, this.plot.csv)),
    );
    this.element = html(
      'section',
      { class: 'detail', 'aria-label': 'Picture' },
      html('div', { class: 'bar' }, list, this.loads, this.actions),
      this.facts,
      this.picture,
    );
    this.choose('sweep');
  }

  private action(title: string, act: () => void): HTMLButtonElement {
    const button = html('button', { type: 'button', class: 'secondary' }, title);
    button.addEventListener('click', act);
    return button;
  }

  private step(event: KeyboardEvent): void {
    const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (step === 0) return;
    const at = TABS.findIndex(([tab]) => tab === this.tab);
    const [next] = TABS[(at + step + TABS.length) % TABS.length]!;
    this.choose(next);
    this.tabs.get(next)!.focus();
  }

  private choose(tab: Tab): void {
    this.tab = tab;
    for (const [name, button] of this.tabs) {
      button.setAttribute('aria-selected', String(name === tab));
      button.tabIndex = name === tab ? 0 : -1;
    }
    this.picture.setAttribute('aria-labelledby', `tab-${tab}`);
    this.loads.hidden = tab !== 'spectrum';
    if (tab === 'spectrum' && this.loads.options.length === 0) this.events.spectra();
    this.request();
  }

  setLoads(loads: readonly string[]): void {
    this.loadsKnown = true;
    const before = this.loads.value;
    this.loads.replaceChildren(...loads.map(load => html('option', { value: load }, load)));
    if (loads.includes(before)) this.loads.value = before;
    if (this.tab === 'spectrum') this.request();
  }

  select(row: SheetRow | null): void {
    if (row?.id !== this.row?.id) this.worked = null;
    this.row = row;
    if (this.tab === 'sweep') this.request();
  }

  /** Draws again what is shown, where that is not of the chosen row: the numbers may have moved. */
  refresh(): void {
    if (this.tab !== 'sweep') this.request();
  }

  private subject(): PlotSubject | null {
    switch (this.tab) {
      case 'mass':
        return { kind: 'mass' };
      case 'spectrum':
        return this.loads.value ? { kind: 'spectrum', load: this.loads.value } : null;
      case 'sweep':
        return this.row ? { kind: 'sweep', row: this.row.id } : null;
    }
  }

  private request(): void {
    const subject = this.subject();
    this.showFacts();
    if (subject?.kind === 'sweep') this.events.work(subject.row);
    if (subject) this.events.draw(subject);
    else if (this.tab !== 'spectrum' || this.loadsKnown) this.show(null);
  }

  /** How the chosen row comes to its margin. */
  explain(row: string, worked: Worked | null): void {
    if (row !== this.row?.id) return;
    this.worked = worked;
    this.showFacts();
  }

  /** A picture that has come; one that is no longer asked for is passed over. */
  receive(subject: PlotSubject, plot: Plot | null): void {
    if (JSON.stringify(subject) === JSON.stringify(this.subject())) this.show(plot);
  }

  private show(plot: Plot | null): void {
    this.plot = plot;
    for (const button of this.actions.querySelectorAll('button')) button.disabled = plot === null;
    this.picture.classList.toggle('whole', this.tab === 'mass');
    const drawn = plot && pictureOf(plot.svg);
    this.picture.replaceChildren(
      drawn ??
        html(
          'p',
          { class: 'muted' },
          this.tab === 'sweep'
            ? 'Choose a row to see its sweep.'
            : this.tab === 'spectrum'
              ? 'No load of the project holds a table over frequency.'
              : 'There is no mass to draw.',
        ),
    );
  }

  /** The chosen row in full: what a narrow column cuts off. */
  private showFacts(): void {
    const { row } = this;
    this.facts.hidden = this.tab !== 'sweep' || !row;
    if (!row) return;
    const open = html('button', { type: 'button', class: 'link' }, row.requirement);
    open.addEventListener('click', () => this.events.open(row.location));
    const facts: readonly (readonly [string, readonly (string | Element)[]])[] = [
      ['Governing case', [words(row.configuration, row.governing).join(': ')]],
      ['Applied', [row.applied, ...this.calculated('left')]],
      [
        'Allowable',
        [words(row.allowable, row.basis && `basis ${row.basis}`, row.source).join(', '), ...this.calculated('right')],
      ],
      ['Factors', words(row.factors.join(' × '))],
      ['Varies', this.varied()],
      [
        'Tried',
        row.tried
          ? [
              `${row.tried.marginText}${row.tried.governing ? ` in ${row.tried.governing}` : ''}: ${row.tried.applied} against ${row.tried.allowable}`,
            ]
          : [],
      ],
    ];
    this.facts.replaceChildren(
      html('p', {}, open, ` ${row.text}`),
      html(
        'dl',
        {},
        ...facts
          .filter(([, value]) => value.some(part => part !== ''))
          .flatMap(([name, value]) => [html('dt', {}, name), html('dd', {}, ...value)]),
      ),
    );
  }

  /** What a side is calculated from, where the check governs. */
  private calculated(side: 'left' | 'right'): HTMLElement[] {
    const steps = this.worked?.sides.find(each => each.side === side)?.steps.slice(0, -1) ?? [];
    return steps.length === 0 ? [] : [html('span', { class: 'muted' }, ` = ${[...steps].reverse().join(' = ')}`)];
  }

  /** Each value that varies with where it stands there, as a link to where it is written. */
  private varied(): (string | Element)[] {
    const varied = (this.worked?.inputs ?? []).filter(({ stated }) => stated !== null);
    return varied.flatMap(({ name, value, stated, location }, i) => {
      const link = html('button', { type: 'button', class: 'link plain' }, name);
      if (location) link.addEventListener('click', () => this.events.open(location));
      return [i > 0 ? ' · ' : '', link, ` at ${value} of ${stated}`];
    });
  }
}

function words(...parts: readonly (string | null)[]): string[] {
  return parts.filter(part => part !== null && part !== '') as string[];
}
