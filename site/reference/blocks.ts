/** Each kind of block: its head, its fields, what may stand in it. */
import { ATTRIBUTES } from '../../server/engine/elaboration/attributes.js';
import { BLOCKS, WORDS, type Block, type FieldRow } from '../../server/language/index.js';
import type { Entry, Page } from '../page.js';
import { anchor, code, example, form, link, markdownTable } from './table.js';

const PATH = 'reference/blocks.html';
const HEADS: Readonly<Record<string, string>> = {
  title: '"title"',
  value: '= value',
  format: 'how the file is written',
  restrictions: 'for L in [Load]',
};
const TYPES: Readonly<Record<string, string>> = {
  text: 'a text',
  word: 'one word',
  date: 'a day',
  file: '`file("…")`',
  truth: '`true` or `false`',
  reference: 'a name',
  any: 'a value, range or table',
  number: 'a number',
  inertia: 'three moments of inertia',
};

export function blocksPage(): Page {
  const blocks = [...BLOCKS.values()].filter(({ kind }) => kind !== 'file');
  const top = BLOCKS.get('file')!;
  return {
    path: PATH,
    source: 'docs/reference/blocks.md',
    title: 'Blocks and their fields',
    group: 'Reference',
    markdown: [
      '# Blocks and their fields',
      'A block is a word, a name or a label, a head and statements in braces. Fields are `name = value`; where a block is open, it takes fields of your own beside those listed.',
      `At the top of a file stand ${listed(top.children, kind => `[${code(kind)}](#${kind})`)}; and ${listed(top.statements, statementLink)}.`,
      ...blocks.map(section),
    ].join('\n\n'),
    entries: blocks.flatMap(entries),
  };
}

function section(block: Block): string {
  const { kind, documentation, name, head, fields, children, statements, open } = block;
  const names = { name: 'Name', label: 'LABEL', either: 'Name-or-LABEL', none: '' }[name];
  const parts = Object.keys(head).map(part => HEADS[part] ?? `${part} …`);
  const rows = Object.entries(fields).map(([field, rule]) => [
    anchor(`${kind}.${field}`) + code(field),
    typeOf(rule),
    `${rule.documentation}${rule.required ? ' Required.' : ''}`,
  ]);
  const attributes = [...ATTRIBUTES].filter(([, { kinds }]) => kinds.includes(kind));
  return [
    `## ${code(kind)} {#${kind}}`,
    documentation,
    form([kind, names, ...parts, '{ … }'].filter(Boolean).join(' ')),
    block.example ? example(block.example) : '',
    rows.length > 0 ? markdownTable(['field', 'value', 'meaning'], rows) : '',
    [
      open ? '- Takes fields of your own.' : '- Takes no fields of your own.',
      statements.length > 0 ? `- Statements: ${listed(statements, statementLink)}.` : '',
      children.length > 0 ? `- Blocks inside: ${listed(children, each => `[${code(each)}](#${each})`)}.` : '',
      attributes.length > 0
        ? `- Has without writing it: ${listed(attributes, ([each]) => `[${code(each)}](functions.md#value-${each})`)}.`
        : '',
    ]
      .filter(Boolean)
      .join('\n'),
  ]
    .filter(Boolean)
    .join('\n\n');
}

function typeOf({ type, words }: FieldRow): string {
  if (words) return listed(words, choiceLink);
  if (TYPES[type]) return TYPES[type];
  const [dimension, form] = type.split(' ');
  const shown = `[${dimension}](${link('dimensions.md', dimension!)})`;
  return form === 'vector' ? `three of ${shown}` : form === 'point' ? `a point of ${shown}` : shown;
}

function choiceLink(word: string): string {
  const known = WORDS.some(({ kind, word: name }) => kind === 'choice' && name === word);
  return known ? `[${code(word)}](choices.md#choice-${word})` : code(word);
}

const statementLink = (word: string): string => `[${code(word)}](statements.md#statement-${word})`;

function listed<T>(items: readonly T[], text: (item: T) => string): string {
  return items.map(text).join(', ');
}

function entries({ kind, documentation, fields }: Block): Entry[] {
  return [
    { name: kind, kind: 'block', title: documentation, url: link(PATH, kind), text: Object.keys(fields).join(' ') },
    ...Object.entries(fields).map(([field, rule]) => ({
      name: field,
      kind: 'field',
      title: `${field} of ${kind}`,
      url: link(PATH, `${kind}.${field}`),
      text: `${rule.documentation} ${rule.words?.join(' ') ?? ''}`,
    })),
  ];
}
