/** Values that are tried: one field each, what the texts say beside it, and what it comes to. */
import { DEFAULT_DIGITS, kilograms } from '../../../common/numbers.js';
import type { Sheet, SheetRow, StatusMove, TrialState } from '../../../../server/protocol/sheet.js';
import type { TriedText } from '../messages.js';
import { html } from './elements.js';

/** A pause in typing after which a value is tried, in milliseconds. */
const PAUSE = 80;

export interface TrialEvents {
  tryAtCursor(): void;
  changed(values: readonly TriedText[]): void;
  /** Asks for other values that stand to reason. */
  choices(name: string): void;
  zeroMargin(name: string, row: string): void;
  apply(): void;
}

interface Field {
  readonly name: string;
  written: string;
  readonly input: HTMLInputElement;
  readonly message: HTMLElement;
  readonly element: HTMLElement;
  readonly was: HTMLElement;
  readonly zero: HTMLButtonElement;
  /** What a search for a zero margin found, until another value is typed. */
  readonly found: HTMLElement;
  readonly notes: HTMLElement;
  chooser: HTMLSelectElement | null;
}

export class TrialBar {
  private readonly fields = new Map<string, Field>();
  private readonly list = html('div', { class: 'fields' });
  private readonly outcome = html('p', { class: 'outcome', role: 'status' });
  private readonly statuses = html('p', { class: 'outcome', role: 'status' });
  private readonly apply = html('button', { type: 'button' }, 'Apply');
  private readonly drop = html('button', { type: 'button', class: 'secondary' }, 'Drop');
  private readonly running = html(
    'div',
    { class: 'running' },
    this.list,
    html('div', { class: 'actions' }, this.apply, this.drop),
    this.outcome,
    this.statuses,
  );
  /** Stands in the head of the page. */
  readonly start = html(
    'button',
    {
      type: 'button',
      class: 'start',
      title: 'Tries another value for the one at the cursor of the editor; the text stays as it is',
    },
    'Try a value',
  );
  readonly element: HTMLElement;
  private timer = 0;
  /** Until the first sheet: later ones may have been on their way when a field was taken back. */
  private restoring = true;
  private wanted: HTMLInputElement | null = null;
  private row: SheetRow | null = null;

  constructor(private readonly events: TrialEvents) {
    this.start.addEventListener('click', () => events.tryAtCursor());
    window.addEventListener('focus', () =>
      window.setTimeout(() => {
        if (document.activeElement === document.body) this.focusWanted();
      }),
    );
    document.addEventListener('focusin', event => {
      if (event.target !== this.wanted) this.wanted = null;
    });
    this.apply.addEventListener('click', () => events.apply());
    this.drop.addEventListener('click', () => this.clear());
    this.element = html('section', { class: 'trial', 'aria-label': 'Trial' }, this.running);
    this.setRunning(false);
  }

  /** A field for a value, filled with what the text says; the cursor goes there. */
  add(name: string, written: string, choices: readonly string[]): void {
    const known = this.fields.get(name);
    const field = known ?? this.made(name, written);
    this.offer(name, choices);
    this.setRunning(true);
    this.wanted = field.input;
    field.input.select();
    this.focusWanted();
    // The editor gives the frame its focus in its own time.
    window.setTimeout(() => this.focusWanted(), PAUSE);
  }

  /** The frame may come into focus only after its field was asked for. */
  private focusWanted(): void {
    if (!this.wanted?.isConnected || (document.hasFocus() && document.activeElement === this.wanted)) return;
    this.wanted.focus();
  }

  private made(name: string, written: string): Field {
    const id = `try-${this.fields.size}-${name.replace(/\W/g, '-')}`;
    const input = html('input', {
      id,
      type: 'text',
      value: written,
      spellcheck: 'false',
      autocomplete: 'off',
      'aria-describedby': `${id}-message`,
    });
    const message = html('span', { id: `${id}-message`, class: 'problem', role: 'alert' });
    const was = html('span', { class: 'note' });
    const zero = html('button', { type: 'button', class: 'secondary zero' }, 'Zero margin');
    zero.addEventListener('click', () => {
      if (!this.row) return;
      found.textContent = 'Looking for the value of zero margin …';
      this.events.zeroMargin(name, this.row.id);
    });
    const found = html('span', { class: 'note', role: 'status' });
    const notes = html('span', { class: 'note' });
    const remove = html('button', { type: 'button', class: 'quiet', 'aria-label': `Stop trying ${name}` }, '×');
    const element = html(
      'div',
      { class: 'field' },
      html('label', { for: id }, name),
      input,
      zero,
      remove,
      was,
      message,
      found,
      notes,
    );
    input.addEventListener('input', () => {
      this.wanted = null;
      found.textContent = '';
      this.changed();
    });
    input.addEventListener('keydown', event => {
      if (event.key === 'Enter') this.events.apply();
      if (event.key === 'Escape') this.clear();
    });
    remove.addEventListener('click', () => {
      const beside = element.nextElementSibling ?? element.previousElementSibling;
      this.fields.delete(name);
      element.remove();
      this.changed();
      (beside?.querySelector('input') ?? this.start).focus();
    });
    const field: Field = { name, written, input, message, element, was, zero, found, notes, chooser: null };
    this.fields.set(name, field);
    this.list.append(element);
    this.aim(this.row);
    return field;
  }

  /** Other values for one that has a field. */
  offer(name: string, choices: readonly string[]): void {
    const field = this.fields.get(name);
    if (!field || field.chooser || choices.length === 0) return;
    field.chooser = this.chooser(name, field.input, choices);
    field.input.after(field.chooser);
  }

  /** The row whose zero margin is looked for. */
  aim(row: SheetRow | null): void {
    this.row = row;
    const check = row && [row.requirement, row.mode].filter(Boolean).join(' ');
    for (const { name, zero } of this.fields.values()) {
      zero.disabled = row === null;
      zero.title = check
        ? `Finds the value of ${name} at which the margin of ${check} is zero`
        : 'Choose a row first: the value is found at which its margin is zero';
    }
  }

  /** A value of zero margin, or why there is none. */
  found(name: string, text: string | null, message: string): void {
    const field = this.fields.get(name);
    if (!field) return;
    field.found.textContent = message;
    if (text === null) return;
    field.input.value = text;
    this.changed();
  }

  /** A list beside a field: what is chosen goes into the field. */
  private chooser(name: string, input: HTMLInputElement, choices: readonly string[]): HTMLSelectElement {
    const chooser = html(
      'select',
      { 'aria-label': `Choose another value for ${name}` },
      html('option', { value: '' }, 'choose…'),
      ...choices.map(choice => html('option', { value: choice }, choice)),
    );
    chooser.addEventListener('change', () => {
      if (chooser.value === '') return;
      this.wanted = null;
      input.value = chooser.value;
      this.changed();
    });
    input.addEventListener('input', () => {
      chooser.value = choices.includes(input.value) ? input.value : '';
    });
    chooser.value = choices.includes(input.value) ? input.value : '';
    return chooser;
  }

  private changed(): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(
      () =>
        this.events.changed(
          [...this.fields.values()]
            .filter(field => field.input.value.trim() !== field.written)
            .map(({ name, input }) => ({ name, text: input.value })),
        ),
      PAUSE,
    );
    this.setRunning(this.fields.size > 0);
  }

  private setRunning(running: boolean): void {
    this.element.hidden = !running;
  }

  /**
   * Ends the trial: no field is left, and keys go on at the button that begins one. A button that was disabled has lost
   * the focus to the page.
   */
  clear(): void {
    const focused = document.activeElement;
    if (document.hasFocus() && (focused === document.body || this.element.contains(focused))) this.start.focus();
    for (const { element } of this.fields.values()) element.remove();
    this.fields.clear();
    this.changed();
  }

  /** What the values come to; fields that a reload lost are made again. */
  show({ trial, mass, statuses }: Sheet, rows: Iterable<SheetRow>): void {
    for (const value of trial.values) {
      const field = this.fields.get(value.name) ?? (this.restoring ? this.restored(value) : null);
      if (!field) continue;
      field.written = value.written;
      field.was.textContent = `${value.full.trim() === value.text.trim() ? '' : `as ${value.full} · `}written ${value.written}`;
      field.notes.textContent = value.notes.join(' ');
    }
    this.restoring = false;
    for (const field of this.fields.values())
      field.message.textContent = trial.problems.find(problem => problem.name === field.name)?.message ?? '';
    this.setRunning(this.fields.size > 0);
    this.apply.disabled = trial.values.length === 0 || trial.problems.length > 0;
    this.outcome.textContent = trial.values.length === 0 ? '' : outcomeText(rows, mass);
    this.statuses.textContent = statusText(statuses);
  }

  /** A field that was there before the window was loaded anew. */
  private restored({ name, text }: TrialState['values'][number]): Field {
    const field = this.made(name, text);
    this.events.choices(name);
    return field;
  }
}

/** Most requirements that are told by name. */
const MOST_NAMED = 8;

/** The status that each requirement would have, where it is another. */
function statusText(moves: readonly StatusMove[]): string {
  const more = moves.length > MOST_NAMED ? [`and ${moves.length - MOST_NAMED} more`] : [];
  return moves
    .slice(0, MOST_NAMED)
    .map(({ requirement, from, to }) => `${requirement} ${from} → ${to}`)
    .concat(more)
    .join(' · ');
}

function outcomeText(rows: Iterable<SheetRow>, mass: Sheet['mass']): string {
  const moved = [...rows].filter(row => row.tried !== null);
  const failing = moved.filter(row => row.tried!.passes === false && row.passes !== false).length;
  const mended = moved.filter(row => row.tried!.passes === true && row.passes !== true).length;
  const change = mass.tried !== null && mass.predicted !== null ? (mass.tried - mass.predicted) * 1000 : null;
  return [
    `${moved.length} ${moved.length === 1 ? 'margin moves' : 'margins move'}`,
    failing > 0 ? `${failing} would fail` : null,
    mended > 0 ? `${mended} would pass` : null,
    change === null
      ? null
      : Math.abs(change) < 1e-6
        ? 'mass unchanged'
        : `mass ${change > 0 ? '+' : '−'}${Number(Math.abs(change).toPrecision(DEFAULT_DIGITS))} g, ${kilograms(mass.tried!)} predicted`,
  ]
    .filter(Boolean)
    .join(' · ');
}
