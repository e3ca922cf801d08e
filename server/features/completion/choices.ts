/** Words of which one stands in a place: modes, methods, codes, and what a field takes. */
import { declared, saidIn } from '../../model/statements.js';
import { RULES } from '../../findings/index.js';
import { BASES, BLOCKS, LEVEL_WORDS, METHODS, SEVERITIES, wordRow } from '../../language/index.js';
import type { Entity } from '../../model/namespace.js';
import type { Open } from '../../syntax/tolerant/tree.js';
import { nameOf } from '../bindings.js';
import { around } from '../caret.js';
import { labels } from './labels.js';
import { KIND, type Offers } from './offers.js';

const MOST_MODES = 400;

const saidOfChoice = (word: string): string | undefined => wordRow(word, 'choice')?.documentation;

export const bases = (offers: Offers): void => offers.words(BASES, '0', saidOfChoice, KIND.value);
export const severities = (offers: Offers): void => offers.words(SEVERITIES, '0', saidOfChoice, KIND.value);
export const levels = (offers: Offers): void => offers.words(LEVEL_WORDS, '1', saidOfChoice);
export const codes = (offers: Offers): void =>
  offers.words(RULES.keys(), '0', code => RULES.get(code)?.title, KIND.value);

/** Methods that the requirement has not named yet. */
export function methods(offers: Offers): void {
  const taken = new Set(saidIn(offers.sight.entity.declaration, 'methods').map(({ name }) => name));
  const free = METHODS.filter(name => name !== 'review' && (!taken.has(name) || name === offers.caret.word));
  offers.words(free, '0', saidOfChoice, KIND.value);
}

/** Failure modes, those first that the kind of the part needs. */
export function modes(offers: Offers): void {
  const { entity } = offers.sight;
  const owner = entity.part?.base ?? nearest(entity, 'kind');
  const done = new Set(entity.checks.map(({ mode }) => mode));
  for (const { name } of owner ? declared(owner, 'kind').needs : [])
    offers.add(name, KIND.value, done.has(name) ? '3' : '0', {
      detail: `needed by ${owner!.name}`,
      insert: `${name} `,
    });
  for (const mode of everyMode(offers)) offers.add(mode, KIND.value, '2', { insert: `${mode} ` });
}

export const neededModes = (offers: Offers): void => offers.words(everyMode(offers), '0');

function everyMode({ context }: Offers): Set<string> {
  const found = new Set<string>(['yield', 'ultimate', 'buckling']);
  for (const { checks } of context.project.namespace.entitiesOf('requirement')) {
    for (const { mode } of checks) if (mode) found.add(mode);
    if (found.size > MOST_MODES) break;
  }
  return found;
}

/** Rows of the growth tables. */
export function maturities(offers: Offers): void {
  const rows = new Set<string>();
  for (const growth of offers.context.project.namespace.entitiesOf('growth'))
    for (const name of growth.values.keys()) if (name !== 'source') rows.add(name);
  offers.words(rows.size > 0 ? rows : ['estimated', 'calculated', 'measured'], '0', undefined, KIND.value);
}

/** What is likely behind a word that says how a file is written. */
export function formatValues(offers: Offers, path: readonly Open[]): void {
  const word = around(path, 'FormatClause')?.token('word')?.image ?? '';
  offers.words(wordRow(word, 'format')?.values ?? [], '0', undefined, KIND.value);
}

/** Directly behind `=` of a field that has its own kinds of value. Whether it has. */
export function fieldValue(offers: Offers, path: readonly Open[]): boolean {
  const [statement, value, inner] = path.slice(-3);
  if (statement?.node.type !== 'Field' || value?.node.read !== null || inner?.role !== 'Value.expression') return false;
  const { context, caret } = offers;
  const row = BLOCKS.get(caret.blocks.at(-1)?.keyword ?? '')?.fields[nameOf(statement.node, 'path')];
  switch (row?.type) {
    case 'word':
      offers.words(row.words ?? [], '0', saidOfChoice, KIND.value);
      return true;
    case 'truth':
      offers.words(['true', 'false'], '0', word => wordRow(word, 'operator')?.documentation);
      return true;
    case 'date':
      offers.add(context.project.asOf, KIND.value, '0', { detail: 'the date of this revision' });
      return true;
    case 'file':
      offers.add('file("")', KIND.file, '0', {
        ...(context.settings.snippets && { insert: 'file("$1")', insertTextFormat: 2 as const }),
      });
      return true;
    case 'reference':
      labels(offers, row.names ?? []);
      return true;
    default:
      return false;
  }
}

function nearest(entity: Entity, kind: string): Entity | null {
  for (let at: Entity | null = entity; at; at = at.parent) if (at.kind === kind) return at;
  return null;
}
