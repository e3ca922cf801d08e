/** What an editor feature is: a function from the open project and a request to data. One file each in `catalogue/`. */
import type { Position, Range, TextEdit, WorkspaceEdit } from 'vscode-languageserver-types';
import type { CancellationToken } from '../base/index.js';
import type { Finding, Project } from '../project/project.js';
import type { Lines } from './lines.js';

/** What differs between editors. */
export interface ClientSettings {
  /** Whether inserted text may hold places to fill in. */
  readonly snippets: boolean;
  /** Most inlay hints on one line. */
  readonly hintsPerLine: number;
  /** Whether the editor has the margin sheet and trials. */
  readonly views: boolean;
  /** For editors that show pictures in a hover: whether their ground is light or dark. */
  readonly pictures: 'light' | 'dark' | null;
}

export interface FeatureContext {
  readonly project: Project;
  /** Every project of the workspace. */
  readonly projects: readonly Project[];
  /** Path of the document within the workspace; library files begin with `library:`. */
  readonly file: string;
  readonly text: string;
  readonly lines: Lines;
  /** The address an editor knows a file by, and the path of an address. */
  uri(file: string): string;
  path(uri: string): string;
  /** Lines of any file of the project or the library. */
  linesOf(file: string): Lines;
  /** All that is found in a file, by any project that it is part of. */
  findings(file: string): readonly Finding[];
  /** Version of an open document. */
  version(file: string): number | null;
  /** Files that are open in the editor. */
  readonly openFiles: readonly string[];
  readonly settings: ClientSettings;
  readonly token: CancellationToken;
  /** Lets others come in between; throws where the request was cancelled or the project is not the same any more. */
  pause(): Promise<void>;
}

/** Said to the engineer in answer to a request. */
export class Refusal extends Error {}

export interface Feature {
  /** Method of the protocol, `textDocument/hover`. */
  readonly method: string;
  /** What it adds to the server's capabilities. */
  readonly capabilities: Readonly<Record<string, unknown>>;
  /** Needs nothing but the text of its document, and so is answered while the model is being evaluated. */
  readonly ofText?: true;
  /** `params` as the protocol defines them for the method. */
  handle(context: FeatureContext, params: never): unknown;
}

/** A feature about a place in a document. */
export function feature<Params, Result>(
  method: string,
  capabilities: Readonly<Record<string, unknown>>,
  handle: (context: FeatureContext, params: Params) => Result,
): Feature {
  return { method, capabilities, handle: handle as Feature['handle'] };
}

/** A feature about the text of a document alone. */
export function textFeature<Params, Result>(
  method: string,
  capabilities: Readonly<Record<string, unknown>>,
  handle: (context: FeatureContext, params: Params) => Result,
): Feature {
  return { ...feature(method, capabilities, handle), ofText: true };
}

export interface PositionParams {
  readonly position: Position;
}
export interface TextEditAt {
  readonly file: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Edits of any files as an editor applies them; each place once. */
export function workspaceEdit(context: FeatureContext, edits: readonly TextEditAt[]): WorkspaceEdit {
  const changes: Record<string, TextEdit[]> = {};
  const seen = new Set<string>();
  for (const { file, start, end, text } of edits) {
    const key = `${file} ${start} ${end}`;
    if (seen.has(key)) continue;
    seen.add(key);
    (changes[context.uri(file)] ??= []).push({ range: rangeOf(context.linesOf(file), start, end), newText: text });
  }
  return { changes };
}

export function rangeOf(lines: Lines, start: number, end: number): Range {
  return { start: lines.position(start), end: lines.position(end) };
}

export function locationOf(
  context: FeatureContext,
  file: string,
  start: number,
  end: number,
): { uri: string; range: Range } {
  return { uri: context.uri(file), range: rangeOf(context.linesOf(file), start, end) };
}

/** So few that the examples have such chances too. */
const AT_ONCE = 50;
/** A longer list is gone through for so many milliseconds at a time. */
const TURN = 5;

/** Visits a long list with chances for a keystroke to come in between. */
export async function inTurns<T>(
  context: Pick<FeatureContext, 'pause'>,
  list: readonly T[],
  visit: (item: T) => void,
): Promise<void> {
  let turn = 0;
  for (const [n, item] of list.entries()) {
    if (n % AT_ONCE === AT_ONCE - 1 && Date.now() - turn >= TURN) {
      await context.pause();
      turn = Date.now();
    }
    visit(item);
  }
}
