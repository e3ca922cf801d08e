/** Functions and constants of the language itself, and what every part has without writing it. */
import { ATTRIBUTES } from '../../server/engine/elaboration/attributes.js';
import { BUILTINS, CONSTANTS } from '../../server/engine/elaboration/builtins.js';
import { FUNCTION_EXAMPLES } from '../../server/language/index.js';
import type { Page } from '../page.js';
import { anchor, code, example, form, link, markdownTable } from './table.js';

const PATH = 'reference/functions.html';

/** Names that mean something where nothing else has them. */
const NAMES: readonly (readonly [name: string, meaning: string])[] = [
  ...[...CONSTANTS].map(([name, value]) => [name, `The number ${value}.`] as const),
  ['X', 'The first axis: index of a vector, `fn[X]`.'],
  ['Y', 'The second axis.'],
  ['Z', 'The third axis.'],
];

/** Values that the language gives to what stands before the dot. */
const MEMBERS: readonly (readonly [name: string, of: string, meaning: string])[] = [
  ['name', 'a block', 'Its name, as a text: `{name}` in a statement of a kind is the name of each part.'],
  ['title', 'a block', 'Its title, as a text.'],
  ...[...ATTRIBUTES].map(([name, { kinds, doc }]) => [name, `a ${kinds.join(', ')}`, doc] as const),
  ['x', 'a vector', 'Its first component; `y` and `z` are the others.'],
  ['low', 'a range', 'Its lower end.'],
  ['high', 'a range', 'Its upper end.'],
];

export function functionsPage(): Page {
  const functions = [...BUILTINS].map(([name, { signature, doc }]) =>
    [`### ${code(name)} {#${name}}`, doc, form(signature), example(FUNCTION_EXAMPLES[name] ?? signature)].join('\n\n'),
  );
  return {
    path: PATH,
    source: 'docs/reference/functions.md',
    title: 'Built-in functions',
    group: 'Reference',
    markdown: [
      '# Built-in functions',
      'What the language itself knows. Everything else is written in it: see the [formula library](../../server/library/README.md). The value of an example stands behind `//=`.',
      '## Functions',
      ...functions,
      '## Constants and axes',
      markdownTable(
        ['name', 'meaning'],
        NAMES.map(([name, meaning]) => [anchor(`constant-${name}`) + code(name), meaning]),
      ),
      '## What is there without being written',
      'Behind a dot: `Bus.predicted_mass`.',
      markdownTable(
        ['name', 'of', 'meaning'],
        MEMBERS.map(([name, of, meaning]) => [anchor(`value-${name}`) + code(name), of, meaning]),
      ),
    ].join('\n\n'),
    entries: [
      ...[...BUILTINS].map(([name, { signature, doc }]) => ({
        name,
        kind: 'function',
        title: signature,
        url: link(PATH, name),
        text: doc,
      })),
      ...NAMES.map(([name, text]) => ({
        name,
        kind: 'constant',
        title: name,
        url: link(PATH, `constant-${name}`),
        text,
      })),
      ...MEMBERS.map(([name, of, text]) => ({
        name,
        kind: 'value',
        title: `${name} of ${of}`,
        url: link(PATH, `value-${name}`),
        text,
      })),
    ],
  };
}
