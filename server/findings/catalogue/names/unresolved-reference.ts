import { isTemplate, resolveRequirement } from '../../../engine/verification-index.js';
import type { Declaration, Item, Statements } from '../../../model/declaration.js';
import { NO_ANNOTATIONS, walk, type Expression, type Reference } from '../../../model/expression.js';
import type { Entity } from '../../../model/namespace.js';
import { nearest } from '../../../base/index.js';
import {
  BLOCKS,
  CLAUSES,
  DOCUMENTS,
  STATEMENTS,
  SUFFIXES,
  type HeadWord,
  type StatementWord,
  type WordRow,
} from '../../../language/index.js';
import { countsOn } from '../../fixes.js';
import { at, rule, type ProjectView, type Report } from '../../rule.js';
import { saidIn } from '../../../model/statements.js';

export default rule({
  code: 'unresolved-reference',
  severity: 'error',
  title: 'A reference leads nowhere',
  message: ({ word, name, kinds, similar }) =>
    `"${word} ${name}" leads nowhere: the project has no ${kinds} of that name.${similar ? ` Is ${similar} meant?` : ''}`,
  onProject(report, view): void {
    for (const entity of view.namespace.entities.values()) {
      if (entity.template || entity.contenders.length === 0) continue;
      referencesOf(report, entity, view);
    }
  },
  fix: found =>
    found.data['similar']
      ? { title: `Replace by ${found.data['similar']}`, edits: [{ place: 'here', text: found.data['similar'] }] }
      : null,
});

function referencesOf(report: Report, entity: Entity, view: ProjectView): void {
  const { declaration } = entity;
  const check = (
    word: string,
    reference: Reference,
    kinds: readonly string[],
    owner: Declaration | Item = declaration,
  ): void => {
    if (resolves(reference, kinds, entity, view)) return;
    const name = reference.path.join('.');
    report({
      code: 'unresolved-reference',
      place: at(owner, reference.id),
      data: {
        word,
        name,
        kinds: kinds.join(', ').replace(/, (?=[^,]*$)/, ' or '),
        similar: similarTo(name, kinds, view),
      },
    });
  };
  const statement = (word: StatementWord, references: readonly Reference[]): void => {
    const { names = [] }: WordRow = STATEMENTS[word];
    for (const reference of references) check(word, reference, names);
  };
  const said = <K extends keyof Statements>(what: K): Statements[K] => saidIn(declaration, what);
  statement('parent', said('parents'));
  statement('supersedes', said('supersedes'));
  const document = said('source')?.document;
  if (document) statement('source', [document]);
  for (const exempt of said('exempt')) statement('exempt', exempt.targets);
  const head = BLOCKS.get(entity.kind)?.head ?? {};
  for (const [word, references] of Object.entries(headReferences(declaration)))
    for (const reference of references) {
      const names = head[word as HeadWord];
      if (names) check(word, reference, names);
    }
  for (const method of said('methods')) {
    if (method.milestone) check('by', method.milestone, CLAUSES.by.names);
    if (method.article && !method.each) check('on', method.article, CLAUSES.on.names);
  }
  for (const setting of said('severities'))
    if (setting.milestone) check(setting.before ? 'before' : 'by', setting.milestone, CLAUSES.by.names);
  if (entity.kind === 'configuration' && declaration.value)
    for (const summand of namesIn(declaration.value.value)) check('=', summand, ['configuration'], declaration.value);
  for (const path of said('free')) if (!leadsToValue(path.path, entity, view)) check('free', path, ['value']);
  if (declaration.kind === 'results')
    for (const path of declaration.inputs) if (!leadsToValue(path.path, entity, view)) check('from', path, ['value']);
  for (const item of declaration.values) {
    if (item.annotations === NO_ANNOTATIONS && item.name !== 'source') continue;
    const { from, due, under, source } = item.annotations;
    if (item.name === 'material') for (const lot of from ?? []) check('from', lot, SUFFIXES.from.names, item);
    if (due) check('due', due, SUFFIXES.due.names, item);
    for (const assumption of under ?? []) check('under', assumption, SUFFIXES.under.names, item);
    if (source?.document) check('source', source.document, DOCUMENTS, item);
    if (item.name === 'source' && item.value.kind === 'name')
      check('source', { id: item.value.id, path: [item.value.name] }, DOCUMENTS, item);
  }
}

function similarTo(name: string, kinds: readonly string[], { namespace }: ProjectView): string {
  const known = kinds.flatMap(kind => namespace.ofKind(kind).map(candidate => candidate.name));
  return (
    nearest(
      name,
      known.filter(candidate => !countsOn(candidate, name)),
    ) ?? ''
  );
}

/** What the words of a head name. */
function headReferences(declaration: Declaration): Record<HeadWord, readonly Reference[]> {
  const one = (reference: Reference | null): readonly Reference[] => (reference ? [reference] : []);
  return {
    of: one(saidIn(declaration, 'of')),
    is: one(saidIn(declaration, 'is')),
    for: saidIn(declaration, 'targets'),
    on: saidIn(declaration, 'on'),
    from: saidIn(declaration, 'from'),
    in: saidIn(declaration, 'in'),
  };
}

function namesIn(expression: Expression): Reference[] {
  const found: Reference[] = [];
  walk(expression, node => {
    if (node.kind === 'name') found.push({ id: node.id, path: [node.name] });
  });
  return found;
}

/** A block, a value of a block, or a value at the top of a file. */
function leadsToValue(path: readonly string[], from: Entity, view: ProjectView): boolean {
  if (view.namespace.candidates(path, from).length > 0) return true;
  const last = path[path.length - 1]!;
  if (path.length === 1) return view.namespace.root.values.has(last);
  return view.namespace
    .candidates(path.slice(0, -1), from)
    .some(block => block.values.has(last) || (block.base?.values.has(last) ?? false) || block.kind === 'part');
}

function resolves(reference: Reference, kinds: readonly string[], from: Entity, view: ProjectView): boolean {
  if (reference.path.length === 0 || reference.path.some(segment => segment === '')) return true;
  if (kinds.includes('requirement') && resolveRequirement(view.configurations[0]!.evaluation, reference).length > 0)
    return true;
  const last = reference.path[reference.path.length - 1]!;
  if (
    [...view.namespace.labelled(reference.path.join('.')), ...view.namespace.candidates(reference.path, from)].some(
      found => kinds.includes(found.kind),
    )
  )
    return true;
  // A name that is only met inside a kind is looked up for each of its instances.
  return isTemplate(from) && [...view.namespace.named(last)].some(found => kinds.includes(found.kind));
}
