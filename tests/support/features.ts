/** Editor features called in the process, over a project of texts. */
import type { Position } from 'vscode-languageserver-types';
import type { Feature, FeatureContext } from '../../server/features/feature.js';
import { catalogue } from '../../server/features/generated/catalogue.js';
import { Lines } from '../../server/features/lines.js';
import type { Project } from '../../server/project/project.js';

export const FEATURES: readonly Feature[] = (catalogue as readonly (Feature | readonly Feature[])[]).flat();

export function contextOf(
  project: Project,
  file: string,
  pause: () => Promise<void> = () => Promise.resolve(),
): FeatureContext {
  const linesOf = (path: string): Lines => new Lines(project.text(path) ?? '');
  return {
    project,
    projects: [project],
    file,
    text: project.text(file) ?? '',
    lines: linesOf(file),
    uri: path => path,
    path: uri => uri,
    linesOf,
    findings: path => project.findings(path),
    version: () => 1,
    openFiles: project.files,
    settings: { snippets: true, hintsPerLine: 1, views: true, pictures: null },
    token: { cancelled: false },
    pause,
  };
}

export function call(method: string, context: FeatureContext, params: object): unknown {
  return FEATURES.find(feature => feature.method === method)!.handle(context, params as never);
}

/** Parameters of a request of any method at a place. */
export function paramsAt(context: FeatureContext, method: string, position: Position, end: Position): object {
  const range =
    position.line < end.line || (position.line === end.line && position.character <= end.character)
      ? { start: position, end }
      : { start: end, end: position };
  return {
    textDocument: { uri: context.file },
    position,
    positions: [position, end],
    range,
    ranges: [range, range],
    context: { includeDeclaration: true, diagnostics: [] },
    query: 'a',
    newName: 'renamed_1',
    ch: method.length % 2 === 0 ? '}' : '\n',
    previousResultId: '0',
    files: [{ oldUri: context.file, newUri: `moved/${context.file}` }],
    previousResultIds: [],
    options: { tabSize: 2, insertSpaces: true },
  };
}
