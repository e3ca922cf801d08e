/** Whatever refactoring is offered, wherever: the text still reads, and every status and margin is as before. */
import { readdirSync, readFileSync } from 'node:fs';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { CodeAction, TextEdit } from 'vscode-languageserver-types';
import { expect, test } from 'vitest';
import { random } from '../bench/generate.js';
import { walk } from '../../server/model/expression.js';
import { spanOf } from '../../server/model/declaration.js';
import { expressionsOf, itemsOf, declarationsOf } from '../../server/findings/text-search.js';
import { marginAlone } from '../../server/features/status.js';
import { Project } from '../../server/project/project.js';
import { call, contextOf } from '../support/features.js';

type Texts = ReadonlyMap<string, string>;

function opened(texts: Texts): Project {
  const project = new Project({ today: '2027-06-01' });
  for (const [path, text] of texts) project.setText(path, text);
  project.update();
  return project;
}

/** Status and margin of every check of every requirement. */
function margins(project: Project): string[] {
  return project.view.verification.index.requirements
    .map(entity => {
      const { status, checks } = project.view.verification.result(entity);
      // A requirement that has gone into a kind carries its part in its label; part and name stay.
      return [
        entity.part?.path,
        entity.name,
        status,
        ...checks.map(check => `${check.passes} ${marginAlone(check)} ${check.rowCount}`),
      ].join(' ');
    })
    .sort();
}

function applied(texts: Texts, action: CodeAction): Map<string, string> {
  return new Map(
    [...texts].map(([path, text]) => [
      path,
      TextDocument.applyEdits(
        TextDocument.create('', 'gusset', 1, text),
        (action.edit!.changes![path] ?? []) as TextEdit[],
      ),
    ]),
  );
}

const errors = (project: Project): string[] =>
  project.files
    .flatMap(file => project.findings(file))
    .filter(({ severity }) => severity === 'error')
    .map(({ code, message }) => `${code} ${message}`)
    .sort();

test.each([
  ['bracket', 1, 500],
  ['cordgrass', 40, 16],
] as const)('in %s, one in %i expressions', (name, every, most) => {
  const texts = new Map(
    readdirSync(`examples/${name}`)
      .filter(path => path.endsWith('.gus'))
      .map(path => [path, readFileSync(`examples/${name}/${path}`, 'utf8')]),
  );
  texts.set('empty.gus', '');
  const project = opened(texts);
  const [before, errorsBefore] = [margins(project), errors(project)];
  const places: { file: string; start: number; end: number }[] = [];
  for (const declaration of declarationsOf(project.namespace)) {
    for (const item of itemsOf(declaration)) {
      const { file } = item.placement;
      if ('id' in item && item.kind !== 'check')
        places.push({ file, start: spanOf(item, item.id).start, end: spanOf(item, item.id).start });
      for (const root of expressionsOf(item)) walk(root, node => void places.push({ file, ...spanOf(item, node.id) }));
    }
    const name = spanOf(declaration, 2);
    places.push({ file: declaration.placement.file, start: name.start, end: name.start });
  }
  const next = random(Number(process.env['SEED'] ?? 1));
  const seen = new Set<string>();
  for (const { file, start, end } of places) {
    if (next() * every >= 1 || seen.size >= most) continue;
    const context = contextOf(project, file);
    for (const [from, to] of [
      [start, end],
      [start, start],
    ] as const) {
      const range = { start: context.lines.position(from), end: context.lines.position(to) };
      for (const action of call('textDocument/codeAction', context, {
        range,
        context: { only: ['refactor'] },
      }) as CodeAction[]) {
        const key = `${file} ${action.title} ${JSON.stringify(action.edit)}`;
        if (seen.has(key)) continue;
        seen.add(key);
        const after = opened(applied(texts, action));
        expect(margins(after), `${action.title} of ${texts.get(file)!.slice(from, to)}`).toEqual(before);
        expect(errors(after), `${action.title} of ${texts.get(file)!.slice(from, to)}`).toEqual(errorsBefore);
      }
    }
  }
  expect(seen.size).toBeGreaterThan(15);
});
