import type { CompletionItem } from 'vscode-languageserver-types';
import { completionsAt, type CompletionData } from '../completion/completions.js';
import { feature, type FeatureContext, type PositionParams } from '../feature.js';
import { builtinText, targetText } from '../hover-text.js';
import type { Target } from '../resolve.js';

interface CompletionParams extends PositionParams {
  readonly context?: { readonly triggerCharacter?: string };
}

/** What may stand at the caret; documentation is fetched for the one that is looked at. */
export default [
  feature(
    'textDocument/completion',
    { completionProvider: { triggerCharacters: ['.', '#', ' ', '(', '='], resolveProvider: true } },
    (context, params: CompletionParams) =>
      completionsAt(context, context.lines.offset(params.position), params.context?.triggerCharacter),
  ),
  feature('completionItem/resolve', {}, (context, item: CompletionItem) => {
    const value = documentationOf(context, (item.data ?? {}) as CompletionData);
    return value ? { ...item, documentation: { kind: 'markdown', value } } : item;
  }),
];

function documentationOf(context: FeatureContext, { builtin, entity, name, library }: CompletionData): string | null {
  if (builtin !== undefined) return builtinText(builtin);
  const { namespace, library: formulas } = context.project;
  const owner = library ? formulas.root : entity === undefined ? undefined : namespace.entity(entity);
  const item = name === undefined ? undefined : owner?.values.get(name);
  if (!owner || (name !== undefined && !item)) return null;
  const target: Target = item ? { kind: 'value', entity: owner, item } : { kind: 'entity', entity: owner };
  return targetText(context, target, null);
}
