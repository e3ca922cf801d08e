/** However a project was edited, all that is shown is as if it had just been opened so. */
import { printValue } from '../../../server/engine/explain.js';
import { isCalculated } from '../../../server/model/blocks.js';
import type { Project } from '../../../server/project/project.js';
import { split } from '../../../server/syntax/splitter.js';
import { reportOf } from '../../properties/models.js';
import { openScenario, scenariosBelow, settle, type Files, type Scenario } from '../../support/fixture.js';
import { fixtureTexts, type Failure, type Property, type Random } from '../property.js';

/** Texts and data by path; what ends in `.gus` is a source. */
type Folder = ReadonlyMap<string, string>;

const EDITS_A_CASE = 6;
/** Share of the cases that any project may be the ground of, and how large the others are in bytes. */
const LARGE = 0.02;
const SMALL = 6_000;

export default {
  name: 'edits',
  share: 30,
  check(random: Random): Promise<Failure | undefined> {
    const { scenarios, small, pool } = ground();
    const steps = [folderOf(random.pick(random.next() < LARGE ? scenarios : small))];
    for (let i = 0; i < EDITS_A_CASE; i++) steps.push(...random.pick(EDITS)(random, steps.at(-1)!, pool));
    // What is stale mostly stays so until the end; what heals by itself is met on the way now and then.
    const looks = new Set([random.below(steps.length), steps.length - 1]);
    const failure = followed(steps, i => looks.has(i));
    return Promise.resolve(failure && (followed(steps) ?? failure));
  },
} satisfies Property;

/**
 * Brings a project through states of its folder, and holds it against one that is opened anew after each, or after
 * those that are to be looked at.
 */
export function followed(steps: readonly Folder[], isLookedAt = (_: number): boolean => true): Failure | undefined {
  const project = opened(steps[0]!);
  for (let i = 0; i < steps.length; i++) {
    if (i > 0) bring(project, steps[i - 1]!, steps[i]!);
    const reason = isLookedAt(i) ? difference(shown(project), shownFresh(steps[i]!), '') : null;
    if (reason !== null) return { reason, files: written(steps.slice(0, i + 1)) };
  }
  return undefined;
}

/** Undone edits lead back to where others began. */
const fresh = new WeakMap<Folder, unknown>();

function shownFresh(folder: Folder): unknown {
  const known = fresh.get(folder) ?? shown(opened(folder));
  fresh.set(folder, known);
  return known;
}

function opened(folder: Folder): Project {
  return openScenario({ files: filesOf(folder), sources: [...folder.keys()].filter(isSource).sort() });
}

function bring(project: Project, before: Folder, after: Folder): void {
  for (const path of new Set([...before.keys(), ...after.keys()])) {
    if (before.get(path) === after.get(path)) continue;
    if (isSource(path)) project.setText(path, after.get(path) ?? null);
    else project.forgetData(path);
    project.setFileExists(path, after.has(path));
  }
  settle(project, filesOf(after));
}

const isSource = (path: string): boolean => path.endsWith('.gus');

/** Bytes are kept as characters of one byte each: data need not be text. */
function filesOf(folder: Folder): Files {
  return new Map([...folder].map(([path, text]) => [path, Buffer.from(text, isSource(path) ? 'utf8' : 'latin1')]));
}

function folderOf({ files, sources }: Scenario): Folder {
  const entries = [...files].filter(([path]) => !isSource(path) || sources.includes(path));
  return new Map(
    entries.map(([path, bytes]) => [path, Buffer.from(bytes).toString(isSource(path) ? 'utf8' : 'latin1')]),
  );
}

/** Each state, as far as it differs from the one before, with its number before the path. */
function written(steps: readonly Folder[]): Record<string, string> {
  return Object.fromEntries(
    steps.flatMap((folder, i) =>
      [...new Set([...folder.keys(), ...(steps[i - 1]?.keys() ?? [])])]
        .filter(path => folder.get(path) !== steps[i - 1]?.get(path))
        .map(path => [`${i}-${path.replaceAll('/', '-')}${folder.has(path) ? '' : '.gone'}`, folder.get(path) ?? '']),
    ),
  );
}

// ---- what is shown --------------------------------------------------------------------------------------------------

/** The report with every row and finding, and every value in every configuration. */
function shown(project: Project): unknown {
  return JSON.parse(JSON.stringify({ report: reportOf(project), values: valuesOf(project) }));
}

function valuesOf(project: Project): Record<string, string> {
  const values = project.configurations.flatMap(({ name, evaluation }) =>
    [...evaluation.allCells()]
      .filter(
        ({ entity, name }) =>
          entity !== evaluation.library.root && isCalculated(entity.kind, name) && !/^[@*]/.test(name),
      )
      .map(cell => [
        `${name ?? ''} ${cell.entity.key}#${cell.name}`,
        printValue(node => evaluation.number(node), cell.value),
      ]),
  );
  return Object.fromEntries(values) as Record<string, string>;
}

/** The first place where two are different, edited and fresh; null where there is none. */
function difference(edited: unknown, fresh: unknown, path: string): string | null {
  if (Object.is(edited, fresh) || (typeof edited === 'number' && isAlike(edited, fresh))) return null;
  if (!isTree(edited) || !isTree(fresh)) return `${path}: ${JSON.stringify(edited)}, fresh ${JSON.stringify(fresh)}`;
  for (const key of new Set([...Object.keys(edited), ...Object.keys(fresh)])) {
    const found = difference(edited[key], fresh[key], `${path}/${key}`);
    if (found !== null) return found;
  }
  return null;
}

/** Sums may be taken in another order. */
const isAlike = (x: number, y: unknown): boolean =>
  typeof y === 'number' && Math.abs(x - y) <= 1e-11 * Math.max(1, Math.abs(x));

const isTree = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

// ---- edits ----------------------------------------------------------------------------------------------------------

/** What edits draw on: projects to begin with, statements, and words by their class. */
interface Ground {
  readonly scenarios: readonly Scenario[];
  readonly small: readonly Scenario[];
  readonly pool: Pool;
}

interface Pool {
  readonly statements: readonly string[];
  readonly words: ReadonlyMap<string, readonly string[]>;
}

let known: Ground | undefined;

function ground(): Ground {
  if (known) return known;
  const texts = fixtureTexts();
  const scenarios = [...scenariosBelow('examples'), ...scenariosBelow('tests/fixtures')];
  known = {
    scenarios,
    small: scenarios.filter(scenario => sizeOf(scenario) <= SMALL),
    pool: {
      statements: texts.flatMap(statementsOf).filter(statement => !LONG_SWEEP.test(statement)),
      words: wordsOf(texts.join('\n')),
    },
  };
  return known;
}

function sizeOf({ files, sources }: Scenario): number {
  return sources.reduce((sum, path) => sum + files.get(path)!.length, 0);
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
