/** What blocks say beside what all may: asked of a block of a known kind, or of any. */
import { bug } from '../base/index.js';
import { BLOCKS, type BlockKind } from '../language/index.js';
import {
  SAID_BY_HEAD,
  SAID_BY_STATEMENT,
  type BlockBase,
  type Column,
  type Declaration,
  type DeclarationOf,
  type FileFormat,
  type Statements,
} from './declaration.js';

export const PLAIN_FORMAT: FileFormat = {
  skip: 0,
  decimal: null,
  thousands: null,
  separator: null,
  missing: [],
  ignore: [],
  columns: [],
};

const NONE: readonly never[] = [];
/** Where nothing is said. */
export const NOTHING_SAID: Statements = {
  of: null,
  is: null,
  on: NONE,
  from: NONE,
  in: NONE,
  targets: NONE,
  format: PLAIN_FORMAT,
  methods: NONE,
  hasVerify: false,
  parents: NONE,
  supersedes: NONE,
  rationale: null,
  source: null,
  needs: NONE,
  given: NONE,
  exempt: NONE,
  free: NONE,
  study: false,
  imprint: null,
  checkedBy: NONE,
  columns: NONE,
  inputs: NONE,
  severities: NONE,
  uses: NONE,
};

/** What is said in a block of whatever kind, though it belongs into another. */
export function saidIn<K extends keyof Statements>(declaration: Declaration, what: K): Statements[K] {
  const own = declaration as Partial<Statements>;
  return own[what] ?? declaration.stray?.[what] ?? NOTHING_SAID[what];
}

/** What a block says that is known to be of a kind, or of one of several. */
export function declared<K extends BlockKind>(
  { declaration }: { readonly declaration: Declaration },
  ...kinds: readonly K[]
): DeclarationOf<K> {
  if (isOneOf(declaration, kinds)) return declaration;
  return bug(`a ${declaration.keyword} is asked for what a ${kinds.join(' or a ')} says`);
}

function isOneOf<K extends BlockKind>(
  declaration: Declaration,
  kinds: readonly K[],
): declaration is Declaration & DeclarationOf<K> {
  return kinds.some(kind => kind === declaration.kind);
}

/** The columns of a file that a block reads; none where it reads no file. */
export const columnsOf = ({ declaration }: { readonly declaration: Declaration }): readonly Column[] =>
  declaration.kind === 'table' || declaration.kind === 'results' ? declaration.columns : NONE;

/** A block of what is written in it: what its kind does not take is stray. */
export function blockOf(base: Omit<BlockBase, 'stray'>, said: Statements): Declaration {
  const own = OWN.get(base.keyword) ?? NONE;
  const kind = OWN.has(base.keyword) ? base.keyword : 'unknown';
  const stray = ALL.filter(each => said[each] !== NOTHING_SAID[each] && !own.includes(each));
  const block = { ...base, kind, stray: stray.length > 0 ? only(said, stray) : null };
  return Object.assign(block, only(said, own)) as Declaration;
}

const ALL = Object.keys(NOTHING_SAID) as readonly (keyof Statements)[];

/** What each kind of block says: the same as its type, from the same tables. */
const OWN: ReadonlyMap<string, readonly (keyof Statements)[]> = new Map(
  [...BLOCKS.values()].map(({ kind, head, statements, fields }) => {
    const byHead = Object.entries(SAID_BY_HEAD).filter(([part]) => part in head);
    const byStatement = Object.entries(SAID_BY_STATEMENT).filter(
      ([word]) => statements.includes(word) || (word === 'source' && word in fields),
    );
    return [kind, [...new Set([...byHead, ...byStatement].flatMap(([, said]) => said))]];
  }),
);

function only(said: Statements, which: readonly (keyof Statements)[]): Partial<Statements> {
  const found: Record<string, unknown> = {};
  for (const each of which) found[each] = said[each];
  return found;
}
