/** Text of the language in the colours of an editor, by the grammar that the editor uses. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import oniguruma from 'vscode-oniguruma';
import textmate, { type IGrammar } from 'vscode-textmate';
import { escapeHtml } from './html.js';

/** Beginnings of scopes and the class of each; the first that fits the innermost scope counts. */
const CLASSES: readonly (readonly [scope: string, name: string])[] = [
  ['comment', 'comment'],
  ['string', 'string'],
  ['constant.character', 'string'],
  ['constant.numeric', 'number'],
  ['keyword.other.unit', 'unit'],
  ['keyword.other.open', 'open'],
  ['constant.language', 'constant'],
  ['keyword.operator.word', 'word'],
  ['keyword.operator', 'sign'],
  ['keyword', 'word'],
  ['storage.type', 'block'],
  ['entity.name', 'name'],
];

export type Highlight = (code: string) => string;

/** `grammarFile`: the grammar for editors. */
export async function createHighlight(grammarFile: string): Promise<Highlight> {
  const wasm = readFileSync(createRequire(import.meta.url).resolve('vscode-oniguruma/release/onig.wasm'));
  await oniguruma.loadWASM(wasm);
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: patterns => new oniguruma.OnigScanner(patterns),
      createOnigString: text => new oniguruma.OnigString(text),
    }),
    loadGrammar: () => Promise.resolve(textmate.parseRawGrammar(readFileSync(grammarFile, 'utf8'), grammarFile)),
  });
  const grammar = (await registry.loadGrammar('source.gusset'))!;
  return code => highlighted(grammar, code);
}

function highlighted(grammar: IGrammar, code: string): string {
  let state = textmate.INITIAL;
  const lines = code.split('\n').map(line => {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, state);
    state = ruleStack;
    return tokens
      .map(({ startIndex, endIndex, scopes }) => span(line.slice(startIndex, endIndex), scopes.at(-1)!))
      .join('');
  });
  return lines.join('\n');
}

function span(text: string, scope: string): string {
  const name = CLASSES.find(([start]) => scope.startsWith(start))?.[1];
  return name === undefined ? escapeHtml(text) : `<span class="${name}">${escapeHtml(text)}</span>`;
}
