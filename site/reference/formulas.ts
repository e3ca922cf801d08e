/** The formula library: a page a topic, each formula drawn, with its symbols, validity, source and example. */
import { typeText } from '../../server/features/signature.js';
import { librarySources } from '../../server/library/generated/sources.js';
import { spanOf, type Parameter, type TypeExpression, type ValueItem } from '../../server/model/declaration.js';
import { lowerPiece } from '../../server/model/lower.js';
import { formulaMathML, symbol } from '../../server/reports/formula/mathml.js';
import { typesetMathML } from '../../server/reports/formula/typeset.js';
import { parsePiece } from '../../server/syntax/parser.js';
import { split } from '../../server/syntax/splitter.js';
import { parseDimension } from '../../server/units/index.js';
import type { Entry, Page } from '../page.js';
import { code, example, link, markdownTable } from './table.js';

interface Topic {
  readonly name: string;
  readonly text: string;
  readonly items: readonly ValueItem[];
}

const FOLDER = 'server/library';

export function formulaPages(): Page[] {
  const topics = librarySources.map(({ path, text }) => topicOf(path, text));
  return [indexPage(topics), ...topics.map(topicPage)];
}

function topicOf(path: string, text: string): Topic {
  const items = split(text).flatMap(
    piece => lowerPiece(parsePiece(piece.text), piece.text, { file: path, start: piece.start }).root.values,
  );
  return { name: path.replace(/\.gus$/, ''), text, items };
}

function indexPage(topics: readonly Topic[]): Page {
  const formulas = topics.flatMap(({ items }) => items).filter(({ kind }) => kind === 'formula').length;
  return {
    path: 'formulas/index.html',
    source: `${FOLDER}/README.md`,
    title: 'Formula library',
    group: 'Reference',
    markdown: [
      '# Formula library',
      `${formulas} formulas that every project sees without a word, written in the language itself. Each states its symbols, where it holds, where it comes from, and an example that is run with every build. Outside of what it requires it has no value. A source that was recalled and not opened says *from memory*: hold it against your own copy.`,
      ...topics.map(
        topic =>
          `## [${titleOf(topic)}](${topic.name}.gus)\n\n${leadOf(topic)}\n\n${markdownTable(
            ['formula', 'gives'],
            topic.items.map(item => [
              `[${code(item.name)}](${link(`${topic.name}.gus`, item.name)})`,
              documentation(item).summary,
            ]),
          )}`,
      ),
    ].join('\n\n'),
    entries: [
      {
        name: 'Formula library',
        kind: 'page',
        title: 'Formula library',
        url: 'formulas/index.html',
        text: topics.map(leadOf).join(' '),
      },
    ],
  };
}

function topicPage(topic: Topic): Page {
  const path = `formulas/${topic.name}.html`;
  return {
    path,
    source: `${FOLDER}/${topic.name}.gus`,
    title: titleOf(topic),
    markdown: [
      `# ${titleOf(topic)}`,
      `${leadOf(topic)} [All formulas](README.md)`,
      ...topic.items.map(item => section(topic, item)),
    ].join('\n\n'),
    entries: topic.items.map(item => entry(path, topic, item)),
  };
}

const titleOf = ({ name }: Topic): string => name[0]!.toUpperCase() + name.slice(1);

/** The comment at the top of the file. */
function leadOf({ text }: Topic): string {
  const [lead = ''] = /^(?:\/\/ .*\n)+/.exec(text) ?? [];
  return lead
    .replace(/^\/\/ /gm, '')
    .replace(/\s+/g, ' ')
    .trim();
}

function entry(path: string, { name }: Topic, item: ValueItem): Entry {
  const { summary, about, said } = documentation(item);
  return {
    name: item.name,
    kind: item.kind === 'formula' ? 'formula' : 'table',
    title: summary,
    url: link(path, item.name),
    text: [name, ...about.values(), ...said.map(([, text]) => text)].join(' '),
  };
}

function section(topic: Topic, item: ValueItem): string {
  const { summary, about, said } = documentation(item);
  const written = topic.text.slice(spanOf(item, item.id).start, spanOf(item, item.value.id).end);
  const drawn = drawing(item);
  const symbols = symbolsOf(item).map(({ name, type }) => [
    `<math>${symbol(name)}</math> ${code(name)}`,
    dimensionOf(typeText(type) ?? ''),
    about.get(name) ?? '',
  ]);
  const requires = item.conditions.map(({ id }) => {
    const { start, end } = spanOf(item, id);
    return code(topic.text.slice(start, end));
  });
  const facts = [
    ...said.filter(([what]) => what !== 'Example').map(([what, text]) => `- **${what}:** ${text}`),
    ...(requires.length > 0 ? [`- **Requires:** ${requires.join(', ')}`] : []),
  ];
  const examples = said
    .filter(([what]) => what === 'Example')
    .map(([, text]) => `let example = ${text.replace(/ = (?=[^=]*$)/, '  //= ')}`);
  return [
    `## ${code(item.name)} {#${item.name}}`,
    summary,
    drawn ? `<div class="formula">${drawn}</div>` : '',
    symbols.length > 0 ? markdownTable(['symbol', 'dimension', 'meaning'], symbols) : '',
    facts.join('\n'),
    example([`${item.kind} ${written}`, ...examples].join('\n')),
  ]
    .filter(Boolean)
    .join('\n\n');
}

/** A name of a dimension with its place; products and other types as they are. */
function dimensionOf(type: string): string {
  return parseDimension(type) ? `[${type}](../../docs/reference/dimensions.md#${type})` : type.replaceAll('*', '\\*');
}

/** As an engineer writes it; a formula with several results one below the other. */
function drawing({ value, kind }: ValueItem): string {
  if (kind !== 'formula') return '';
  const parts =
    value.kind === 'record'
      ? value.entries.map(({ name, value: of }) => formulaMathML(name, of))
      : [formulaMathML(null, value)];
  return parts.map(part => (part === null ? '' : picture(part))).join('');
}

/** A picture, since few systems have a font whose brackets grow; read aloud from the mathematics behind it. */
function picture(mathml: string): string {
  const svg = typesetMathML(mathml, 'currentColor')
    .replace('<svg ', '<svg aria-hidden="true" ')
    .replace(/ style="[^"]*"/g, '');
  return `<div><span class="unseen">${mathml}</span>${svg}</div>`;
}

function symbolsOf({ parameters, type }: ValueItem): readonly Parameter[] {
  return [...(parameters ?? []), ...fieldsOf(type)];
}

function fieldsOf(type: TypeExpression | null): readonly Parameter[] {
  return type?.kind === 'record' ? type.fields : [];
}

/** A documentation comment: what it gives, what each symbol means, and what else it says under a word. */
function documentation(item: ValueItem): {
  readonly summary: string;
  readonly about: ReadonlyMap<string, string>;
  readonly said: readonly (readonly [what: string, text: string])[];
} {
  const names = new Set(symbolsOf(item).map(({ name }) => name));
  const about = new Map<string, string>();
  const summary: string[] = [];
  const said: [string, string][] = [];
  for (const line of (item.doc ?? '').split('\n')) {
    const [, name, text] = /^(\w+): (.*)$/.exec(line) ?? [];
    if (name === undefined) summary.push(line);
    else if (names.has(name)) about.set(name, text!);
    else said.push([name, text!]);
  }
  return { summary: summary.join(' ').trim(), about, said };
}
