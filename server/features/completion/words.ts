/** Words of the language: those that the grammar takes, as far as the rows of the blocks take them too. */
import { BLOCKS, rowOf } from '../../language/index.js';
import type { Expectation } from '../../syntax/tolerant/reader.js';
import type { Open } from '../../syntax/tolerant/tree.js';
import { around } from '../caret.js';
import { isFold } from './names.js';
import { KIND, type Offers } from './offers.js';

export const isWord = (kind: string): boolean => /^[a-z]+$/.test(kind) || kind === 'TBD';

/** Nodes that begin an operand: their words are wanted less than names. */
const OPERANDS: ReadonlySet<string> = new Set(['Conditional', 'Not', 'TableBy', 'Truth', 'ToBeDetermined']);

/** A word that goes on with what stands before the caret, or begins an operand. */
export function word(offers: Offers, { kind, type, path }: Expectation): void {
  const row = rowOf(kind, type);
  if (!row || !isTaken(kind, type, path)) return;
  const begins = path.at(-1)?.node.read === null;
  const order =
    begins && OPERANDS.has(type) ? '9' : begins && type === 'Argument' ? '0 ' : around(path, 'Value') ? '8' : '1';
  offers.add(kind, KIND.keyword, order, { documentation: row.documentation });
}

function isTaken(word: string, type: string, path: readonly Open[]): boolean {
  const block = around(path, 'Declaration');
  const head = block?.token('name') ? BLOCKS.get(block.token('keyword')?.image ?? '')?.head : undefined;
  switch (type) {
    case 'HeadClause':
    case 'ForClause':
      return word in (head ?? {});
    case 'FormatClause':
      return head?.format === true;
    case 'Argument':
      return word !== 'for' || isFold(path);
    case 'Method':
      return word !== 'of' || around(path, 'Method')?.token('name')?.image === 'review';
    default:
      return true;
  }
}
