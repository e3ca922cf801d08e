/** What begins a statement: fields, words and blocks that the block around takes. */
import { declared, saidIn } from '../../model/statements.js';
import snippets from '../../../grammar/snippets.json';
import { BLOCKS, LABELLED_BLOCKS, STATEMENTS, type Block, type FieldRow, type WordRow } from '../../language/index.js';
import { isTree, type Tree } from '../../syntax/tolerant/tree.js';
import { nameOf } from '../bindings.js';
import { typeText } from '../signature.js';
import { nextLabel } from './labels.js';
import { KIND, rank, type Offers } from './offers.js';

const MOST_SIBLINGS = 400;

/** `list` is the block, or the file, in which the statement would stand. */
export function statements(offers: Offers, list: Tree): void {
  const { entity } = offers.sight;
  const keyword = list.type === 'Document' ? 'file' : (offers.caret.blocks.at(-1)?.keyword ?? 'file');
  const block = BLOCKS.get(keyword);
  if (!block) return;
  const there = namesIn(list, entity.kind === keyword ? entity.declaration.values : []);
  Object.entries(block.fields).forEach(([name, row], i) => {
    if (!there.has(name)) field(offers, name, row, `${row.required ? '0' : '1'}${rank(i)}`);
  });
  askedFor(offers, there);
  words(offers, block);
  block.children.forEach((kind, i) => {
    const sort = keyword === 'file' ? '1' : '3';
    word(offers, kind, `${sort}${rank(i)}`, `${kind} `, BLOCKS.get(kind)!.documentation);
  });
  if (block.open) fieldsOfSiblings(offers, keyword, there);
}

function namesIn(list: Tree, known: readonly { readonly name: string }[]): Set<string> {
  const names = new Set(known.map(({ name }) => name));
  for (const { value } of list.parts)
    if (isTree(value)) names.add(nameOf(value, value.type === 'Field' ? 'path' : 'name'));
  return names;
}

/** Values that the kind of a part asks for. */
function askedFor(offers: Offers, there: ReadonlySet<string>): void {
  const { base } = offers.sight.entity;
  for (const { name, type } of base ? declared(base, 'kind').given : [])
    if (!there.has(name))
      offers.add(name, KIND.field, '0', {
        insert: `${name} = `,
        detail: `${typeText(type) ?? 'value'} that ${base!.name} asks for`,
      });
}

function words(offers: Offers, block: Block): void {
  const { entity } = offers.sight;
  block.statements.forEach((name, i) => {
    const row = (STATEMENTS as Readonly<Record<string, WordRow>>)[name];
    const isThere = name === 'verify' && saidIn(entity.declaration, 'hasVerify') && entity.kind === block.kind;
    if (row && !row.wordless && !isThere)
      word(offers, name, `2${rank(i)}`, row.begins ?? `${name} `, row.documentation);
  });
}

/** Texts with places to fill in, and the word that each begins with. */
const SNIPPETS = Object.values(snippets).map(({ prefix, description, body }) => ({
  prefix,
  description,
  text: body.join('\n'),
  begins: /^\w+/m.exec(body.join('\n'))![0],
}));

/** A word that begins a statement, with places to fill in where the client takes them. */
function word(offers: Offers, name: string, sort: string, insert: string, documentation: string): void {
  const own = offers.context.settings.snippets ? SNIPPETS.filter(({ begins }) => begins === name) : [];
  for (const { prefix, text, description } of own)
    offers.add(prefix, KIND.snippet, sort, {
      insert: filled(offers, name, text),
      insertTextFormat: 2,
      documentation: prefix === name ? documentation : description,
    });
  offers.add(name, KIND.keyword, sort, { insert, documentation });
}

/** A snippet with the next free label, and the day of the revision. */
function filled({ context }: Offers, name: string, text: string): string {
  const label = LABELLED_BLOCKS.includes(name) ? nextLabel(context, name) : null;
  const labelled = label === null ? text : text.replace(/\$\{1:[^}]*\}/, `\${1:${label}}`);
  return labelled.replaceAll('$CURRENT_YEAR-$CURRENT_MONTH-$CURRENT_DATE', context.project.asOf);
}

function field(offers: Offers, name: string, { documentation, type, words }: FieldRow, sort: string): void {
  const snippet =
    type === 'file' && offers.context.settings.snippets
      ? { insert: `${name} = file("$1")`, insertTextFormat: 2 as const }
      : { insert: `${name} = ` };
  offers.add(name, KIND.field, sort, {
    ...snippet,
    detail: words ? words.join(', ') : type === 'any' ? 'value' : type,
    documentation,
  });
}

/** Fields that other blocks of the kind have and this one lacks. */
function fieldsOfSiblings(offers: Offers, keyword: string, there: ReadonlySet<string>): void {
  let looked = 0;
  for (const sibling of offers.context.project.namespace.entitiesOf(keyword)) {
    if (sibling !== offers.sight.entity && !sibling.template)
      for (const { kind, name } of sibling.declaration.values)
        if (kind === 'field' && !there.has(name))
          offers.add(name, KIND.field, '4', { insert: `${name} = `, detail: `as ${sibling.name} has` });
    if (++looked > MOST_SIBLINGS) return;
  }
}
