/** However a project was edited, it is as if it had been opened so. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Project } from '../../server/project/project.js';
import { split } from '../../server/syntax/splitter.js';
import { openScenario, openTexts, scenariosBelow, settle, type Files } from '../support/fixture.js';
import { model, reportOf, textOf, write } from './models.js';

interface Edit {
  readonly kind:
    | 'number'
    | 'unit'
    | 'name'
    | 'comment'
    | 'drop'
    | 'restore'
    | 'double'
    | 'gone'
    | 'back'
    | 'break'
    | 'suffix'
    | 'shadow'
    | 'forget'
    | 'move';
  readonly file: number;
  readonly at: number;
  readonly value: number;
}

const edits: fc.Arbitrary<Edit[]> = fc.array(
  fc.record({
    kind: fc.constantFrom<Edit['kind']>(
      'number',
      'number',
      'unit',
      'name',
      'comment',
      'drop',
      'restore',
      'double',
      'gone',
      'back',
      'break',
      'suffix',
      'shadow',
      'shadow',
      'forget',
      'move',
    ),
    file: fc.nat(),
    at: fc.nat(),
    value: fc.nat(999),
  }),
  { minLength: 1, maxLength: 10 },
);

const UNITS = ['mm', 'm', 'kg', 'N', 'MPa', 'degC', 'g0', 'in', 's', '%'];

/** Texts of a project while it is edited. */
class Desk {
  readonly texts: Map<string, string>;
  private readonly dropped: { file: string; text: string }[] = [];
  private readonly gone: { file: string; text: string }[] = [];

  constructor(texts: ReadonlyMap<string, string>) {
    this.texts = new Map(texts);
  }

  /** The file that an edit changed, or null where it found nothing to do. */
  apply({ kind, file, at, value }: Edit): string | null {
    if (kind === 'back') {
      const back = this.gone.pop();
      return back ? this.put(back.file, back.text) : null;
    }
    const names = [...this.texts.keys()].sort();
    if (names.length === 0) return null;
    const name = names[file % names.length]!;
    const text = this.texts.get(name)!;
    const replace = (pattern: RegExp, to: (found: string) => string): string | null => {
      const found = [...text.matchAll(pattern)];
      if (found.length === 0) return null;
      const { index, 0: word } = found[at % found.length]!;
      return this.put(name, text.slice(0, index) + to(word) + text.slice(index + word.length));
    };
    switch (kind) {
      case 'number':
        return replace(/(?<![\w.#-])\d+(?:\.\d+)?(?![\w.-])/g, () => String(value / 100));
      case 'unit':
        return replace(/(?<=\d )(?:mm|kg|MPa|g0|degC|kN|N|%)(?![\w/^*])/g, () => UNITS[value % UNITS.length]!);
      case 'name':
        return replace(/(?<=(?:let|part|load|material) )\w+/g, word => `${word}_${value}`);
      case 'comment':
        return replace(/\n/g, () => `  // ${value}\n`);
      case 'suffix':
        return replace(/(?<== \d+(?:\.\d+)? \w+)(?=\n)/g, () => ' tbc');
      case 'break':
        return replace(/\n/g, () => `\n${'}{)(="±'[value % 7]!}\n`);
      // A value is given once more inside another block, where it hides the one further out.
      case 'shadow': {
        const values = [...text.matchAll(/^ *(?:let )?\w+(?:\(\w+\))? = .*$/gm)];
        const written = values[value % Math.max(1, values.length)];
        return written ? replace(/\{\n/g, brace => `${brace}${written[0]}\n`) : null;
      }
      case 'forget':
        return replace(/^ +(?:let )?\w+(?:\(\w+\))? = .*\n/gm, () => '');
      case 'move': {
        const parts = [...text.matchAll(/(?<=part )\w+/g)];
        const home = parts[value % Math.max(1, parts.length)];
        return home ? replace(/(?<=part \w+(?: "[^"]*")?) (?:in \w+ )?\{/g, () => ` in ${home[0]} {`) : null;
      }
      case 'double': {
        const pieces = split(text);
        return this.put(name, text + (pieces[at % pieces.length]?.text ?? ''));
      }
      case 'drop': {
        const pieces = split(text);
        const piece = pieces[at % Math.max(1, pieces.length)];
        if (!piece) return null;
        this.dropped.push({ file: name, text: piece.text });
        return this.put(name, text.slice(0, piece.start) + text.slice(piece.start + piece.text.length));
      }
      case 'restore': {
        const back = this.dropped.pop();
        return back ? this.put(back.file, (this.texts.get(back.file) ?? '') + back.text) : null;
      }
      case 'gone': {
        this.gone.push({ file: name, text });
        this.texts.delete(name);
        return name;
      }
    }
  }

  private put(file: string, text: string): string {
    this.texts.set(file, text);
    return file;
  }
}

const encoder = new TextEncoder();

/** All of a report but its findings. */
function settled(project: Project): object {
  const report = reportOf(project);
  return { ...report, diagnostics: null, totals: { ...report.totals, diagnostics: null } };
}

/** Edits a project step by step and compares it with one opened anew after each. */
function follow(texts: ReadonlyMap<string, string>, data: Files, script: readonly Edit[]): void {
  const files = (sources: ReadonlyMap<string, string>): Files =>
    new Map([...data, ...[...sources].map(([path, text]) => [path, encoder.encode(text)] as const)]);
  const desk = new Desk(texts);
  let broken = false;
  const project = openScenario({ files: files(texts), sources: [...texts.keys()] });
  for (const edit of script) {
    const changed = desk.apply(edit);
    if (changed === null) continue;
    project.setText(changed, desk.texts.get(changed) ?? null);
    settle(project, files(desk.texts));
    if (desk.texts.size === 0) return;
    const fresh = openScenario({ files: files(desk.texts), sources: [...desk.texts.keys()] });
    expect(settled(project)).toEqual(settled(fresh));
    broken ||= edit.kind === 'break';
    // What recovery makes of a broken text may differ in what it says beside the syntax error, never in a number or a
    // status.
    if (!broken) expect(reportOf(project).diagnostics).toEqual(reportOf(fresh).diagnostics);
  }
}

test('random models', () => {
  fc.assert(
    fc.property(model, edits, (random, script) => {
      const half = Math.ceil(random.blocks.length / 2);
      follow(
        new Map([
          [
            'a.gus',
            random.blocks
              .slice(0, half)
              .map(block => write(block))
              .join(''),
          ],
          [
            'b.gus',
            random.blocks
              .slice(half)
              .map(block => write(block))
              .join(''),
          ],
        ]),
        new Map(),
        script,
      );
    }),
    { seed: 20_270_102, numRuns: 40 },
  );
});

describe('the five models', () => {
  const root = join(import.meta.dirname, '../fixtures/models');
  test.each(scenariosBelow(root).filter(scenario => !scenario.name.startsWith('c-')))('$name', ({ files, sources }) => {
    const texts = new Map(sources.map(path => [path, new TextDecoder().decode(files.get(path)!)]));
    fc.assert(
      fc.property(edits, script => follow(texts, files, script)),
      { seed: 20_270_103, numRuns: 6 },
    );
  });
});

test('running everything again changes nothing', () => {
  fc.assert(
    fc.property(model, edits, (random, script) => {
      const desk = new Desk(new Map([['a.gus', textOf(random)]]));
      const project = openTexts(Object.fromEntries(desk.texts));
      for (const edit of script) {
        const changed = desk.apply(edit);
        if (changed !== null) project.setText(changed, desk.texts.get(changed) ?? null);
        project.update();
      }
      const { evaluation } = project.view;
      const numbers = (): number[] =>
        [...evaluation.allCells()].flatMap(cell => cell.outputs.map(slot => evaluation.number(slot)));
      const before = numbers();
      evaluation.recalculate();
      expect(numbers()).toEqual(before);
    }),
    { seed: 20_270_104, numRuns: 40 },
  );
});

describe('no text breaks the project', () => {
  const examples = readdirSync('examples', { recursive: true, encoding: 'utf8' })
    .filter(path => path.endsWith('.gus'))
    .map(path => readFileSync(`examples/${path}`, 'utf8'));
  const open = (text: string): void => void openTexts({ 'any.gus': text }).findings('any.gus');

  test('any characters', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), text => {
        open(text);
      }),
      { seed: 20_270_105, numRuns: 200 },
    );
  });

  test('any words of the language', () => {
    const word = fc.constantFrom(
      'part',
      'let',
      'requirement',
      'check',
      'for',
      'in',
      'if',
      'then',
      '{',
      '}',
      '(',
      ')',
      '[',
      ']',
      '->',
      '..',
      '±',
      '=',
      '+',
      '*',
      '^',
      '"',
      '#',
      'STR-1',
      'a',
      '3',
      'mm',
      '.',
      ',',
      ':',
      '\n',
      'load',
      'kind',
      'is',
      'of',
      'file',
      'reserve',
      'corners',
      '//',
      '/*',
      'TBD',
      'by',
      'x',
      '<=',
      'basis',
      'verify',
      'evidence',
      'configuration',
    );
    fc.assert(
      fc.property(fc.array(word, { maxLength: 60 }), words => {
        open(words.join(' '));
      }),
      { seed: 20_270_106, numRuns: 300 },
    );
  });

  test('examples with pieces cut, doubled and moved', () => {
    const mutation = fc.record({
      from: fc.nat(),
      length: fc.nat(400),
      to: fc.nat(),
      insert: fc.string({ unit: 'binary', maxLength: 5 }),
    });
    fc.assert(
      fc.property(
        fc.constantFrom(...examples),
        fc.array(mutation, { minLength: 1, maxLength: 5 }),
        (example, mutations) => {
          const text = mutations.reduce((before, { from, length, to, insert }) => {
            const start = from % (before.length + 1);
            const cut = before.slice(start, start + length);
            const rest = before.slice(0, start) + before.slice(start + length);
            const at = to % (rest.length + 1);
            return rest.slice(0, at) + insert + cut + cut + rest.slice(at);
          }, example);
          open(text);
        },
      ),
      { seed: 20_270_107, numRuns: 60 },
    );
  });
});
