/** Fields that are read as they are written: words, days, files. */
import { METHODS } from '../../language/index.js';
import { isCalendarDate } from '../../base/index.js';
import type { Annotations, Expression } from '../../model/expression.js';
import type { Entity, Namespace } from '../../model/namespace.js';

/** `method = test`, `date = 2027-02-11`, `reason = "…"`. */
export function wordOf(entity: Entity, field: string): string | null {
  return wordWritten(entity.values.get(field)?.value);
}

/** What stands for a word, a day or a text where it is written. */
export function wordWritten(value: Expression | undefined): string | null {
  if (!value) return null;
  if (value.kind === 'name') return value.name;
  if (value.kind === 'date') return value.text;
  if (value.kind === 'text')
    return value.segments.map(segment => (typeof segment === 'string' ? segment : '')).join('');
  if (value.kind === 'truth') return value.value ? 'yes' : 'no';
  return null;
}

/** A day of the calendar that a field states, or that of the milestone it names; null for anything else. */
export function dayOf(namespace: Namespace, entity: Entity, field: string): string | null {
  const value = entity.values.get(field)?.value;
  if (value?.kind === 'date') return isCalendarDate(value.text) ? value.text : null;
  if (value?.kind !== 'name' || entity.kind === 'milestone') return null;
  const milestone = [...namespace.named(value.name)].find(candidate => candidate.kind === 'milestone');
  return milestone ? dayOf(namespace, milestone, 'date') : null;
}

/** The path in `file("…")`. */
export function citedFile(value: Expression | undefined): string | null {
  if (value?.kind !== 'call' || value.callee.kind !== 'name' || value.callee.name !== 'file') return null;
  const text = value.arguments[0]?.value;
  const written = text?.kind === 'text' ? text.segments[0] : undefined;
  return typeof written === 'string' ? written : null;
}

/** Methods of verification, as they are written behind `verify by`. */
export const METHOD_WORDS: readonly string[] = METHODS.map(word => word.replaceAll('_', ' '));

export function methodWord(name: string): string {
  return name === 'review of design' || name === 'review' ? 'review_of_design' : name;
}

/** The milestone or the day by which a value is due; empty where none is stated. */
export function dueBy({ due, dueDate = '' }: Annotations): string {
  return due ? cited(due) : dueDate;
}

/** What a reference or a label is called where it is written. */
export function cited(reference: { readonly path: readonly string[] }): string {
  return reference.path.join('.');
}
