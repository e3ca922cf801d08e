/** Edits at random, of everything that a project is made of. */
import { split } from '../../server/syntax/splitter.js';
import type { Scenario } from '../support/fixture.js';
import { fixtureTexts, type Random } from './property.js';

/** Texts and data by path; what ends in `.gus` is a source. Bytes of data are kept as characters of one byte each. */
export type Folder = ReadonlyMap<string, string>;

export const isSource = (path: string): boolean => path.endsWith('.gus');

export function folderOf({ files, sources }: Scenario): Folder {
  const entries = [...files].filter(([path]) => !isSource(path) || sources.includes(path));
  return new Map(
    entries.map(([path, bytes]) => [path, Buffer.from(bytes).toString(isSource(path) ? 'utf8' : 'latin1')]),
  );
}

/** What a folder is after an edit; two states where it is undone at once, none where it finds nothing to edit. */
export function randomEdit(random: Random, folder: Folder): readonly Folder[] {
  return random.pick(EDITS)(random, folder, pool());
}

/** What edits draw on: statements, and words by their class. */
interface Pool {
  readonly statements: readonly string[];
  readonly words: ReadonlyMap<string, readonly string[]>;
}

let known: Pool | undefined;

function pool(): Pool {
  if (known) return known;
  const texts = fixtureTexts();
  known = {
    statements: texts.flatMap(statementsOf).filter(statement => !LONG_SWEEP.test(statement)),
    words: wordsOf(texts.join('\n')),
  };
  return known;
}

/** Whole blocks and single lines. */
function statementsOf(text: string): string[] {
  const lines = text.split('\n').filter(line => /^ *\w/.test(line) && balanced(line));
  return [...split(text).map(piece => piece.text), ...lines.map(line => `${line}\n`)];
}

/** What shows the limits of sweeps takes seconds each time. */
const LONG_SWEEP = /\.\. \d{4,}\b/;

const balanced = (line: string): boolean => line.split('{').length === line.split('}').length;

const WORD = /"[^"\n]*"|[A-Z]+-[\w-]+|\d+(?:\.\d+)?(?:e-?\d+)?|[A-Za-z_]\w*|<=|>=|==|[-+*/<>^±]/g;

/** Words of the language that may stand in each other's place. */
const KEYWORDS = [
  'part kind load material table article lot evidence waiver nonconformance configuration milestone case results slot',
  'estimated calculated measured',
  'tbc exact typical',
  'pass fail',
  'open closed',
  'analysis test inspection demonstration review',
  'qualification acceptance protoflight',
  'primary secondary tertiary',
  'ultimate yield',
  'on of in is for from by below supersedes',
  'and or',
  'low high worst_case nominal',
].map(group => group.split(' '));

function classOf(word: string): string {
  if (/^"/.test(word)) return 'text';
  if (/^[A-Z]+-/.test(word)) return 'label';
  if (/^\d/.test(word)) return 'number';
  if (!/^\w/.test(word)) return 'operator';
  const group = KEYWORDS.findIndex(words => words.includes(word));
  return group < 0 ? 'name' : `keyword ${group}`;
}

function wordsOf(text: string): Map<string, string[]> {
  const words = new Map<string, Set<string>>();
  for (const [word] of text.matchAll(WORD)) {
    const group = words.get(classOf(word)) ?? new Set();
    words.set(classOf(word), group.add(word));
  }
  return new Map([...words].map(([name, group]) => [name, [...group]]));
}

type Edit = (random: Random, folder: Folder, pool: Pool) => Folder[];

const EDITS: readonly Edit[] = [
  // A line left out, and put back.
  (random, folder) =>
    onSource(random, folder, text => without(text, random.below(text.split('\n').length))).flatMap(after => [
      after,
      folder,
    ]),
  (random, folder) => onSource(random, folder, text => without(text, random.below(text.split('\n').length))),
  // A statement left out and put back, moved, doubled, or one of any text put in.
  (random, folder) =>
    onPieces(random, folder, (pieces, at) => void pieces.splice(at, 1)).flatMap(after => [after, folder]),
  (random, folder) =>
    onPieces(random, folder, (pieces, at) => {
      const moved = pieces.splice(at, 1);
      pieces.splice(random.below(pieces.length + 1), 0, ...moved);
    }),
  (random, folder) => onPieces(random, folder, (pieces, at) => void pieces.push(pieces[at]!)),
  (random, folder, { statements }) =>
    onSource(random, folder, text => {
      const lines = text.split('\n');
      lines.splice(random.below(lines.length + 1), 0, random.pick(statements).replace(/\n$/, ''));
      return lines.join('\n');
    }),
  (random, folder) =>
    onSource(random, folder, text => {
      const lines = text.split('\n');
      const [line = ''] = lines.splice(random.below(lines.length), 1);
      lines.splice(random.below(lines.length + 1), 0, line);
      return lines.join('\n');
    }),
  (random, folder) => betweenFiles(random, folder),
  // A word replaced by another of its class, from the same text or from any.
  ...Array.from(
    { length: 4 },
    (): Edit =>
      (random, folder, { words }) =>
        onSource(random, folder, text => reworded(random, text, random.next() < 0.7 ? wordsOf(text) : words)),
  ),
  // A name given another everywhere.
  (random, folder) => {
    const names = wordsOf([...folder].flatMap(([path, text]) => (isSource(path) ? [text] : [])).join('\n'));
    const group = names.get(random.pick(['name', 'label'])) ?? [];
    if (group.length === 0) return [];
    const name = random.pick(group);
    const next = random.next() < 0.5 ? `${name}_2` : random.pick(group);
    const pattern = new RegExp(`(?<![\\w-])${name}(?![\\w-])`, 'g');
    return [new Map([...folder].map(([path, text]) => [path, isSource(path) ? text.replace(pattern, next) : text]))];
  },
  // A data file with other numbers, without one of its lines, or gone and back.
  (random, folder) => onData(random, folder, text => reworded(random, text, wordsOf(text))),
  (random, folder) => onData(random, folder, text => without(text, random.below(text.split('\n').length))),
  (random, folder) => gone(random, folder, path => !isSource(path)).flatMap(after => [after, folder]),
  // A source gone and back, under another name, or a new one.
  (random, folder) => gone(random, folder, isSource).flatMap(after => [after, folder]),
  (random, folder) => {
    const path = random.pick([...folder.keys()]);
    const after = new Map(folder);
    after.delete(path);
    const place = random.pick(['a', 'zz', 'folder/b']);
    return [after.set(path.replace(/[^/]*(\.\w+)$/, `${place}$1`), folder.get(path)!)];
  },
  (random, folder, { statements }) => [
    new Map(folder).set(random.pick(['a.gus', 'zz.gus']), `${random.pick(statements)}\n${random.pick(statements)}`),
  ],
];

function without(text: string, at: number): string {
  return text.split('\n').toSpliced(at, 1).join('\n');
}

function reworded(random: Random, text: string, words: ReadonlyMap<string, readonly string[]>): string {
  const found = [...text.matchAll(WORD)];
  if (found.length === 0) return text;
  const { 0: word, index } = random.pick(found);
  return text.slice(0, index) + random.pick(words.get(classOf(word)) ?? [word]) + text.slice(index + word.length);
}

function onFile(
  random: Random,
  folder: Folder,
  wanted: (path: string) => boolean,
  change: (text: string) => string,
): Folder[] {
  const paths = [...folder.keys()].filter(wanted);
  if (paths.length === 0) return [];
  const path = random.pick(paths);
  return [new Map(folder).set(path, change(folder.get(path)!))];
}

function onSource(random: Random, folder: Folder, change: (text: string) => string): Folder[] {
  return onFile(random, folder, isSource, change);
}

function onData(random: Random, folder: Folder, change: (text: string) => string): Folder[] {
  return onFile(random, folder, path => !isSource(path), change);
}

function onPieces(random: Random, folder: Folder, change: (pieces: string[], at: number) => void): Folder[] {
  return onSource(random, folder, text => {
    const pieces = split(text).map(piece => piece.text);
    if (pieces.length > 0) change(pieces, random.below(pieces.length));
    return pieces.join('');
  });
}

function gone(random: Random, folder: Folder, wanted: (path: string) => boolean): Folder[] {
  const paths = [...folder.keys()].filter(wanted);
  if (paths.length < (wanted === isSource ? 2 : 1)) return [];
  const after = new Map(folder);
  after.delete(random.pick(paths));
  return [after];
}

/** A statement goes from one source to the end of another. */
function betweenFiles(random: Random, folder: Folder): Folder[] {
  const sources = [...folder.keys()].filter(isSource);
  const [from, to] = [random.pick(sources), random.pick(sources)];
  const pieces = split(folder.get(from)!).map(piece => piece.text);
  if (from === to || pieces.length === 0) return [];
  const [moved] = pieces.splice(random.below(pieces.length), 1);
  return [new Map(folder).set(from, pieces.join('')).set(to, folder.get(to)! + moved)];
}
