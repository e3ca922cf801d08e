/** Whatever a file holds: no exception, and nothing that takes a second of processor time. */
import { formatText } from '../../../server/syntax/formatter.js';
import { Project } from '../../../server/project/project.js';
import { Refusal } from '../../../server/features/feature.js';
import { contextOf, FEATURES, paramsAt } from '../../support/features.js';
import { settle } from '../../support/fixture.js';
import { fixtureTexts, type Failure, type Property, type Random } from '../property.js';

/** In milliseconds of the processor; in the suite, which has to pass on any machine, only what hangs counts. */
const MOST_TIME = process.env.VITEST ? 20_000 : 1_000;
const LONGEST = 60_000;
const FEATURES_A_CASE = 3;
/** What is slow with the best of texts, or needs an answer of its own first. */
const ASKED = FEATURES.filter(({ method }) => !/^gusset\/|Hierarchy\/|\/resolve$/.test(method));

let texts: readonly string[] | undefined;

export default {
  name: 'hostile',
  async check(random: Random): Promise<Failure | undefined> {
    texts ??= fixtureTexts();
    const text = mutated(random, texts);
    return openHostile(text, () => random.next());
  },
} satisfies Property;

/** Opens, judges and asks about a text; `chance` tells where. */
export async function openHostile(text: string, chance: () => number): Promise<Failure | undefined> {
  const files = { 'a.gus': text };
  const watch = new Stopwatch();
  const defects: string[] = [];
  try {
    const project = new Project({
      today: '2027-06-01',
      onDefect: (what, error) => defects.push(`${what}: ${traceOf(error)}`),
    });
    project.setText('a.gus', text);
    watch.lap('reading');
    settle(project, new Map());
    watch.lap('evaluation');
    if (defects.length > 0) return { reason: defects[0]!, files };
    const wrong = project
      .findings('a.gus')
      .find(({ start, end }) => !(start >= 0 && start <= end && end <= text.length));
    if (wrong) return { reason: `${wrong.code} stands at ${wrong.start}..${wrong.end}`, files };
    watch.lap('findings');
    formatText(text);
    watch.lap('formatting');
    const context = contextOf(project, 'a.gus');
    for (let i = 0; i < FEATURES_A_CASE; i++) {
      const { method, handle } = ASKED[Math.floor(chance() * ASKED.length)]!;
      const [first, second] = [chance(), chance()].map(at => context.lines.position(Math.floor(at * text.length)));
      await Promise.resolve(handle(context, paramsAt(context, method, first!, second!) as never)).catch(refused);
      watch.lap(method);
    }
  } catch (error) {
    if (!(error instanceof Refusal)) return { reason: traceOf(error), files };
  }
  return watch.slowest === undefined ? undefined : { reason: watch.slowest, files };
}

function refused(error: unknown): void {
  if (!(error instanceof Refusal)) throw error;
}

function traceOf(error: unknown): string {
  return String((error as Error).stack)
    .split('\n')
    .slice(0, 4)
    .join(' ');
}

/** Asks for the time of the processor, which takes long itself, only where much time has gone by. */
class Stopwatch {
  slowest: string | undefined;
  private readonly begun = process.cpuUsage();
  private start = performance.now();

  lap(what: string): void {
    const now = performance.now();
    const gone = now - this.start;
    this.start = now;
    if (gone < MOST_TIME || this.slowest !== undefined) return;
    const { user, system } = process.cpuUsage(this.begun);
    const milliseconds = Math.min(gone, (user + system) / 1000);
    if (milliseconds > MOST_TIME) this.slowest = `${what} took ${milliseconds.toFixed(0)} ms of processor time`;
  }
}

// ---- hostile texts --------------------------------------------------------------------------------------------------

const SCRAPS = [
  ...'{}()[]"#.,:=±/*+-^<>\n\t\r @\\\0\u202e\ufeff💥é²µ',
  '//',
  '/*',
  '*/',
  '///',
  '"""',
  '..',
  '->',
  '<=',
  'and',
  'or',
  'not',
  'if ',
  'then ',
  'else ',
  'for ',
  'in ',
  'as ',
  'TBD',
  'tbc',
  'part ',
  'kind ',
  'is ',
  'requirement ',
  'check ',
  'let ',
  'formula ',
  'load ',
  'case ',
  'waiver ',
  'evidence ',
  'verify by ',
  'holds while ',
  'material ',
  'slot ',
  'configuration ',
  'factors ',
  'use "',
  'file("',
  'reserve(k: ',
  'root(x in ',
  'sum(for ',
  'corners(',
  'knots(',
  '1e300',
  '1e-300',
  '^1e300',
  '0',
  '-1',
  '.5',
  '99999999999999999999',
  ' mm',
  ' m^99',
  ' degC',
  ' %',
  '± 5 %',
  '(+0.1, -0.2)',
  '\ufeff',
  '\r\n',
  '\u2028',
];
const TOKEN = /[\p{L}_][\p{L}\p{N}_]*|\d+(?:\.\d+)?|"[^"\n]*"|\s+|./gu;

type Mutation = (random: Random, text: string, texts: readonly string[]) => string;

const at = (random: Random, text: string): number => random.below(text.length + 1);
const spliced = (text: string, from: number, to: number, put: string): string =>
  text.slice(0, Math.min(from, to)) + put + text.slice(Math.max(from, to));

function onTokens(random: Random, text: string, change: (tokens: string[], place: number) => void): string {
  const tokens = text.match(TOKEN) ?? [''];
  change(tokens, random.below(tokens.length));
  return tokens.join('');
}

const MUTATIONS: readonly Mutation[] = [
  // A bit of a character, a scrap, a stretch.
  (random, text) => {
    const place = at(random, text);
    const code = (text.charCodeAt(place) || 0) ^ (1 << random.below(8));
    return spliced(text, place, place + 1, String.fromCharCode(code));
  },
  (random, text) => {
    const place = at(random, text);
    return spliced(text, place, place, random.pick(SCRAPS));
  },
  (random, text) => {
    const place = at(random, text);
    return spliced(text, place, place + random.below(60), '');
  },
  (random, text) => text.slice(0, at(random, text)),
  // A token left out, doubled, replaced by another of the text, two that change places.
  (random, text) => onTokens(random, text, (tokens, place) => void tokens.splice(place, 1)),
  (random, text) => onTokens(random, text, (tokens, place) => void tokens.splice(place, 0, tokens[place]!, ' ')),
  (random, text) => onTokens(random, text, (tokens, place) => void (tokens[place] = random.pick(tokens))),
  (random, text) =>
    onTokens(random, text, (tokens, place) => {
      const other = random.below(tokens.length);
      [tokens[place], tokens[other]] = [tokens[other]!, tokens[place]!];
    }),
  // Lines of another text, a line moved.
  (random, text, texts) => {
    const lines = random.pick(texts).split('\n');
    const first = random.below(lines.length);
    const place = at(random, text);
    return spliced(text, place, place, `\n${lines.slice(first, first + 1 + random.below(8)).join('\n')}\n`);
  },
  (random, text) => {
    const lines = text.split('\n');
    const [line = ''] = lines.splice(random.below(lines.length), 1);
    lines.splice(random.below(lines.length + 1), 0, line);
    return lines.join('\n');
  },
  // Nesting, and the same over and over.
  (random, text) => {
    const [open, close] = random.pick([
      ['(', ')'],
      ['[', ']'],
      ['{', '}'],
      ['part A {\n', '}\n'],
      ['if true then ', ' else 1'],
      ['-', ''],
      ['not ', ''],
    ] as const);
    const depth = 1 + random.below(300);
    const [from, to] = [at(random, text), at(random, text)].sort((x, y) => x - y) as [number, number];
    return (
      text.slice(0, from) +
      open.repeat(depth) +
      text.slice(from, to) +
      close.repeat(random.pick([depth, depth - 1, 0])) +
      text.slice(to)
    );
  },
  (random, text) => {
    const from = at(random, text);
    const piece = text.slice(from, from + 1 + random.below(30));
    return spliced(
      text,
      from,
      from,
      piece.repeat(Math.min(1 + random.below(400), Math.floor(8_000 / (piece.length || 1)))),
    );
  },
];

function mutated(random: Random, all: readonly string[]): string {
  let text = random.pick(all);
  // Mostly a part of it, for more cases in the time.
  if (random.next() < 0.8) text = window(random, text);
  for (let rounds = 1 + random.below(4); rounds > 0; rounds--) text = random.pick(MUTATIONS)(random, text, all);
  return text.slice(0, LONGEST);
}

function window(random: Random, text: string): string {
  const lines = text.split('\n');
  const first = random.below(lines.length);
  return lines.slice(first, first + 5 + random.below(40)).join('\n');
}
