import { SymbolKind, type DocumentSymbol } from 'vscode-languageserver-types';
import { spanOf, type Declaration, type ValueItem } from '../../model/declaration.js';
import { titleOf } from '../../engine/values/describe.js';
import { keyOf } from '../../model/namespace.js';
import { BLOCK_KINDS } from '../block-kinds.js';
import { feature, rangeOf, type FeatureContext } from '../feature.js';
import { statusText } from '../status.js';

export default feature('textDocument/documentSymbol', { documentSymbolProvider: true }, context => {
  const symbols: DocumentSymbol[] = [];
  const prefix = context.project.namespace.prefixOf(context.file);
  for (const piece of context.project.namespaceOf(context.file).piecesOf(context.file)) {
    symbols.push(...piece.root.values.map(item => valueSymbol(context, item)));
    symbols.push(...piece.root.children.map(child => declarationSymbol(context, child, prefix)));
  }
  return symbols;
});

function declarationSymbol(context: FeatureContext, declaration: Declaration, prefix: string): DocumentSymbol {
  const whole = spanOf(declaration, 0);
  const name = spanOf(declaration, 2);
  const key = prefix + keyOf(declaration);
  const entity = context.project.namespace.entities.get(key);
  const detail = entity ? [statusText(context.project, entity), titleOf(entity)].filter(Boolean).join(' · ') : '';
  return {
    name: declaration.name || declaration.keyword,
    detail,
    kind: BLOCK_KINDS.get(declaration.kind)?.symbol ?? SymbolKind.Object,
    range: rangeOf(context.lines, whole.start, whole.end),
    selectionRange: rangeOf(context.lines, name.start, Math.min(name.end, whole.end)),
    children: [
      ...declaration.values.map(item => valueSymbol(context, item)),
      ...declaration.children.map(child => declarationSymbol(context, child, `${key}.`)),
    ],
  };
}

function valueSymbol(context: FeatureContext, item: ValueItem): DocumentSymbol {
  const ends = [...item.spans].filter((_, i) => i % 2 === 1);
  const name = spanOf(item, item.id);
  return {
    name: item.name,
    kind: (item.parameters ? 12 : 13) as DocumentSymbol['kind'],
    range: rangeOf(context.lines, name.start, Math.max(name.end, item.placement.start + Math.max(...ends))),
    selectionRange: rangeOf(context.lines, name.start, name.end),
  };
}
