/** How each kind of block is shown: the kinds of the protocol, and of tokens, that come nearest. */
import type { CompletionItemKind, SymbolKind } from 'vscode-languageserver-types';
import type { BlockWord } from '../language/index.js';

interface BlockKind {
  /** Type of the token of its name. */
  readonly token: 'namespace' | 'type' | 'class' | 'struct' | 'event' | 'label';
  readonly symbol: SymbolKind;
  readonly completion: CompletionItemKind;
}

const KINDS: Readonly<Record<BlockWord, BlockKind>> = {
  project: { token: 'namespace', symbol: 4, completion: 18 },
  document: { token: 'struct', symbol: 1, completion: 17 },
  milestone: { token: 'event', symbol: 21, completion: 23 },
  environment: { token: 'struct', symbol: 19, completion: 7 },
  load: { token: 'event', symbol: 24, completion: 23 },
  case: { token: 'event', symbol: 24, completion: 23 },
  factors: { token: 'struct', symbol: 10, completion: 13 },
  growth: { token: 'struct', symbol: 10, completion: 13 },
  material: { token: 'struct', symbol: 23, completion: 22 },
  lot: { token: 'label', symbol: 20, completion: 18 },
  part: { token: 'class', symbol: 5, completion: 7 },
  kind: { token: 'type', symbol: 11, completion: 25 },
  frame: { token: 'struct', symbol: 19, completion: 7 },
  requirement: { token: 'label', symbol: 22, completion: 18 },
  evidence: { token: 'label', symbol: 17, completion: 18 },
  waiver: { token: 'label', symbol: 17, completion: 18 },
  article: { token: 'class', symbol: 19, completion: 18 },
  results: { token: 'struct', symbol: 18, completion: 22 },
  table: { token: 'struct', symbol: 18, completion: 22 },
  configuration: { token: 'namespace', symbol: 2, completion: 7 },
  assume: { token: 'label', symbol: 19, completion: 18 },
  confirmation: { token: 'label', symbol: 17, completion: 18 },
  size: { token: 'label', symbol: 19, completion: 7 },
  nonconformance: { token: 'label', symbol: 19, completion: 18 },
};

export const BLOCK_KINDS: ReadonlyMap<string, BlockKind> = new Map(Object.entries(KINDS));
