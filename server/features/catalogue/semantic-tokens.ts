import type { Range } from 'vscode-languageserver-types';
import type { Project } from '../../project/project.js';
import { feature, type FeatureContext } from '../feature.js';
import { TOKEN_MODIFIERS, TOKEN_TYPES, typedTokens, type TypedToken } from '../token-types.js';

const LEGEND = { tokenTypes: TOKEN_TYPES, tokenModifiers: TOKEN_MODIFIERS };
const NUMBERS_A_TOKEN = 5;

/** What was sent last of each file, so that only what changed is sent again. */
const sent = new WeakMap<Project, Map<string, { readonly resultId: string; readonly data: readonly number[] }>>();
let serial = 0;

export default [
  feature(
    'textDocument/semanticTokens/full',
    { semanticTokensProvider: { legend: LEGEND, full: { delta: true }, range: true } },
    context => keep(context, encode(context, typedTokens(context.project, context.text))),
  ),
  feature(
    'textDocument/semanticTokens/full/delta',
    {},
    (context, { previousResultId }: { readonly previousResultId: string }) => {
      const before = sent.get(context.project)?.get(context.file);
      const data = encode(context, typedTokens(context.project, context.text));
      const { resultId } = keep(context, data);
      return before?.resultId === previousResultId
        ? { resultId, edits: difference(before.data, data) }
        : { resultId, data };
    },
  ),
  feature('textDocument/semanticTokens/range', {}, (context, { range }: { readonly range: Range }) => {
    const [from, to] = [context.lines.offset(range.start), context.lines.offset(range.end)];
    return {
      data: encode(
        context,
        typedTokens(context.project, context.text).filter(token => token.end > from && token.start < to),
      ),
    };
  }),
];

function keep(
  context: FeatureContext,
  data: readonly number[],
): { readonly resultId: string; readonly data: readonly number[] } {
  const files = sent.get(context.project) ?? new Map<string, { resultId: string; data: readonly number[] }>();
  sent.set(context.project, files);
  const kept = { resultId: String(++serial), data };
  files.set(context.file, kept);
  return kept;
}

/** Five numbers a token, relative to the one before; a token over several lines becomes one for each. */
function encode(context: FeatureContext, tokens: readonly TypedToken[]): number[] {
  const data: number[] = [];
  let [line, character] = [0, 0];
  for (const { start, end, type, modifiers } of tokens) {
    const bits = modifiers.reduce((sum, modifier) => sum | (1 << TOKEN_MODIFIERS.indexOf(modifier)), 0);
    let at = start;
    for (const part of context.text.slice(start, end).split('\n')) {
      const length = part.replace(/\r$/, '').length;
      if (length > 0) {
        const position = context.lines.position(at);
        data.push(
          position.line - line,
          position.line === line ? position.character - character : position.character,
          length,
          TOKEN_TYPES.indexOf(type),
          bits,
        );
        ({ line, character } = position);
      }
      at += part.length + 1;
    }
  }
  return data;
}

/** One edit: what lies between the tokens that are the same at the start and at the end. */
function difference(
  before: readonly number[],
  after: readonly number[],
): { readonly start: number; readonly deleteCount: number; readonly data: readonly number[] }[] {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start < shorter && before[start] === after[start]) start++;
  start -= start % NUMBERS_A_TOKEN;
  let behind = 0;
  while (behind < shorter - start && before[before.length - 1 - behind] === after[after.length - 1 - behind]) behind++;
  behind -= behind % NUMBERS_A_TOKEN;
  if (start === before.length && start === after.length) return [];
  return [{ start, deleteCount: before.length - start - behind, data: after.slice(start, after.length - behind) }];
}
