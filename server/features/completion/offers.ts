/** What is offered at the caret, as it is gathered; and what everything that offers looks at. */
import type { CompletionItem } from 'vscode-languageserver-types';
import type { Open } from '../../syntax/tolerant/tree.js';
import type { Caret } from '../caret.js';
import { dueAt, type Expected, type Sight } from '../due.js';
import { rangeOf, type FeatureContext } from '../feature.js';

/** What resolving an item needs to find it again. */
export interface CompletionData {
  readonly uri: string;
  readonly entity?: string;
  readonly library?: boolean;
  readonly name?: string;
  readonly builtin?: string;
}

export const KIND = {
  function: 3,
  field: 5,
  variable: 6,
  class: 7,
  property: 10,
  unit: 11,
  value: 12,
  keyword: 14,
  snippet: 15,
  file: 17,
  reference: 18,
  constant: 21,
} as const;

const MOST = 400;
const LONGEST_LOOK = 300;

export class Offers {
  readonly items: CompletionItem[] = [];
  isIncomplete = false;
  /** Labels that are offered, or must not be. */
  readonly taken = new Set<string>();
  readonly caret: Caret;

  constructor(
    readonly context: FeatureContext,
    readonly sight: Sight,
  ) {
    this.caret = sight.caret;
  }

  add(
    label: string,
    kind: CompletionItem['kind'],
    sort: string,
    more: Partial<CompletionItem> & { insert?: string } = {},
  ): void {
    if (this.taken.has(label) || !matches(label, this.caret.word)) return;
    if (this.items.length >= MOST) {
      this.isIncomplete = true;
      return;
    }
    this.taken.add(label);
    const { insert = label, ...rest } = more;
    const range = rangeOf(this.context.lines, this.caret.wordStart, this.caret.offset);
    this.items.push({ label, kind, sortText: `${sort}${label}`, textEdit: { range, newText: insert }, ...rest });
  }

  words(
    words: Iterable<string>,
    sort: string,
    said: (word: string) => string | undefined = () => undefined,
    kind: CompletionItem['kind'] = KIND.keyword,
  ): void {
    for (const word of words) {
      const documentation = said(word);
      this.add(word, kind, sort, documentation ? { documentation } : {});
    }
  }

  /** The dimension of a node that is due; it ends the path. */
  due(path: readonly Open[]): Expected | null {
    return dueAt(this.sight, path);
  }

  get data(): CompletionData {
    return { uri: this.context.uri(this.context.file) };
  }
}

/** 0 where the dimension is the one that is due, 1 where nothing is known, 3 where it is another. */
export function fit(found: Expected | null, expected: Expected | null): number {
  if (!expected || !found) return 1;
  return found.dimension === expected.dimension && found.point === expected.point ? 0 : 3;
}

export const rank = (i: number): string => String(i).padStart(2, '0');

/** The letters of what was typed, in their order. */
export function matches(label: string, word: string): boolean {
  if (word === '') return true;
  const [text, wanted] = [label.toLowerCase(), word.toLowerCase()];
  let at = -1;
  for (const letter of wanted) if ((at = text.indexOf(letter, at + 1)) < 0) return false;
  return true;
}

/** The text behind the word that the caret is in. */
export function behindWord(text: string, offset: number): string {
  const end = offset + /^[\p{L}\p{N}_]*/u.exec(text.slice(offset, offset + LONGEST_LOOK))![0].length;
  return text.slice(end, end + LONGEST_LOOK);
}
