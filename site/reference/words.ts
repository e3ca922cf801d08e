/** Statements, the words around values, choices, and the list of all words. */
import { BLOCKS, WORDS, type Word, type WordKind } from '../../server/language/index.js';
import type { Entry, Page } from '../page.js';
import { anchor, code, example, form, link, markdownTable } from './table.js';

const KINDS: Readonly<Record<WordKind, string>> = {
  statement: 'begins a statement',
  suffix: 'behind a value',
  clause: 'goes on with a statement',
  head: 'in a head',
  operator: 'in expressions',
  interpolation: 'behind a table',
  format: 'how a file is written',
  type: 'a type',
  choice: 'a choice',
};

/** Kinds of one page, each a part of it, with what is said above it. */
const PAGES: readonly {
  readonly name: string;
  readonly title: string;
  readonly lead: string;
  readonly parts: readonly (readonly [kind: WordKind, title: string, lead: string])[];
}[] = [
  {
    name: 'statements',
    title: 'Statements',
    lead: 'What may stand in a block beside its fields and the blocks inside. Each block says in [Blocks](blocks.md) which of them it takes.',
    parts: [['statement', '', '']],
  },
  {
    name: 'suffixes',
    title: 'Words behind values',
    lead: 'Few words are reserved: these act as words where they follow a value or a head, and are names elsewhere.',
    parts: [
      ['suffix', 'Behind a value, a check or a condition', ''],
      ['clause', 'Going on with one statement, or one kind of expression', ''],
      ['head', 'In the head of a block', 'Between the name of a block and its braces.'],
    ],
  },
  {
    name: 'expressions',
    title: 'Words in expressions',
    lead: 'What calculates, sweeps and chooses, and how tables and files are read.',
    parts: [
      ['operator', 'In expressions', 'These are always words, except behind a dot.'],
      [
        'interpolation',
        'How a table is read between its keys',
        'Behind the bracket of a table. Nothing is extrapolated.',
      ],
      ['format', 'How a data file is written', 'In the head of a `table` or of `results`, behind `file("…")`.'],
      [
        'type',
        'Types that are no dimension',
        'For parameters and for columns of data files; the dimensions are [a page of their own](dimensions.md).',
      ],
    ],
  },
];

const pageOfKind = (kind: WordKind): string =>
  kind === 'choice' ? 'choices' : PAGES.find(({ parts }) => parts.some(([part]) => part === kind))!.name;
const idOf = ({ kind, word }: Word): string => `${kind}-${word}`;
const urlOf = (doc: Word): string => link(`reference/${pageOfKind(doc.kind)}.html`, idOf(doc));
const linkTo = (doc: Word, text: string): string => `[${text}](${link(`${pageOfKind(doc.kind)}.md`, idOf(doc))})`;

export function wordPages(): Page[] {
  const pages = PAGES.map(({ name, title, lead, parts }) =>
    page(name, title, [
      lead,
      ...parts.flatMap(([kind, heading, said]) => [
        heading ? `## ${heading}` : '',
        said,
        ...WORDS.filter(doc => doc.kind === kind).map(doc => wordSection(doc, heading ? '###' : '##')),
      ]),
    ]),
  );
  return [...pages, choicesPage(), allWordsPage()];
}

function page(name: string, title: string, parts: readonly string[], entries: readonly Entry[] = []): Page {
  return {
    path: `reference/${name}.html`,
    source: `docs/reference/${name}.md`,
    title,
    group: 'Reference',
    markdown: [`# ${title}`, ...parts].filter(Boolean).join('\n\n'),
    entries,
  };
}

function wordSection(doc: Word, level: string): string {
  const others = WORDS.filter(other => other.word === doc.word && other !== doc).map(other =>
    linkTo(other, KINDS[other.kind]),
  );
  const inBlocks =
    doc.kind === 'statement'
      ? [...BLOCKS.values()].filter(block => block.statements.includes(doc.word)).map(({ kind }) => kind)
      : [];
  return [
    `${level} ${code(doc.word)} {#${idOf(doc)}}`,
    doc.documentation,
    doc.form.split(' · ').map(form).join('\n'),
    doc.example ? example(doc.example) : '',
    inBlocks.length > 0
      ? `Stands in ${inBlocks.map(kind => (kind === 'file' ? 'a file' : `[${code(kind)}](blocks.md#${kind})`)).join(', ')}.`
      : '',
    others.length > 0 ? `Also: ${others.join(', ')}.` : '',
  ]
    .filter(Boolean)
    .join('\n\n');
}

function choicesPage(): Page {
  const places = [...new Set(WORDS.filter(({ kind }) => kind === 'choice').map(({ form: place }) => place))];
  return page('choices', 'Choices', [
    'Where one of a few words may stand. Maturities are the rows of the growth table and no words of the language.',
    ...places.map(place => {
      const rows = WORDS.filter(word => word.kind === 'choice' && word.form === place).map(doc => [
        anchor(idOf(doc)) + code(doc.word),
        doc.documentation,
      ]);
      return `## ${place}\n\n${markdownTable(['word', 'what it says'], rows)}`;
    }),
  ]);
}

/** One entry a word, whatever it does; a block's word has one of its own. */
function allWordsPage(): Page {
  const words = [...new Set(WORDS.map(({ word }) => word))].sort((a, b) => a.localeCompare(b, 'en'));
  const blocks = [...BLOCKS.keys()].filter(kind => kind !== 'file');
  const all = [...new Set([...words, ...blocks])].sort((a, b) => a.localeCompare(b, 'en'));
  const rows = all.map(name => {
    const uses = WORDS.filter(({ word }) => word === name);
    return [
      anchor(name) + code(name),
      [
        ...(blocks.includes(name) ? [`[a block](blocks.md#${name})`] : []),
        ...uses.map(use => linkTo(use, KINDS[use.kind])),
      ].join(', '),
    ];
  });
  const entries = words.map(name => {
    const uses = WORDS.filter(({ word }) => word === name);
    return {
      name,
      kind: 'word',
      title: uses[0]!.form.split(' · ')[0]!,
      url: urlOf(uses[0]!),
      text: uses.map(({ documentation }) => documentation).join(' '),
    };
  });
  return page(
    'words',
    'All words',
    [
      'Every word of the language and what it does. A word acts as one in its place only; elsewhere it is a name like any other.',
      markdownTable(['word', 'acts as'], rows),
    ],
    entries,
  );
}
