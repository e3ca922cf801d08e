/** What an editor feature is: a function from the open project and a request to data. One file each in `catalogue/`. */
import type { Position, Range } from 'vscode-languageserver-types';
import type { CancellationToken } from '../base/index.js';
import type { Project } from '../project/project.js';
import type { Lines } from './lines.js';

export interface FeatureContext {
  readonly project: Project;
  /** Path of the document within the workspace; library files begin with `library:`. */
  readonly file: string;
  readonly text: string;
  readonly lines: Lines;
  /** The address an editor knows a file by. */
  uri(file: string): string;
  /** Lines of any file of the project or the library. */
  linesOf(file: string): Lines;
  readonly token: CancellationToken;
}

export interface Feature {
  /** Method of the protocol, `textDocument/hover`. */
  readonly method: string;
  /** What it adds to the server's capabilities. */
  readonly capabilities: Readonly<Record<string, unknown>>;
  /** `params` as the protocol defines them for the method. */
  handle(context: FeatureContext, params: never): unknown;
}

/** A feature about a place in a document. */
export function feature<Params, Result>(method: string, capabilities: Readonly<Record<string, unknown>>, handle: (context: FeatureContext, params: Params) => Result): Feature {
  return { method, capabilities, handle: handle as Feature['handle'] };
}

export interface PositionParams { readonly position: Position }

export function rangeOf(lines: Lines, start: number, end: number): Range {
  return { start: lines.position(start), end: lines.position(end) };
}

export function locationOf(context: FeatureContext, file: string, start: number, end: number): { uri: string; range: Range } {
  return { uri: context.uri(file), range: rangeOf(context.linesOf(file), start, end) };
}
