/** Text to tree: the Langium parser over one top-level piece. */
import { createDefaultCoreModule, createDefaultSharedCoreModule, EmptyFileSystem, inject, type LangiumCoreServices, type LangiumParser, type LangiumSharedCoreServices, type Module, type PartialLangiumCoreServices } from 'langium';
import type { Document, Placeholder } from './generated/ast.js';
import { GussetGeneratedModule, GussetGeneratedSharedModule } from './generated/module.js';
import { GussetLexer, type Comment, type GussetLexerResult } from './lexer.js';
import { GussetMessages } from './messages.js';

const GussetModule: Module<LangiumCoreServices, PartialLangiumCoreServices> = {
  parser: {
    Lexer: services => new GussetLexer(tokenTypes(services)),
    ParserErrorMessageProvider: () => new GussetMessages(),
    ValueConverter: () => ({ convert: text => text }),
  },
};

function tokenTypes(services: LangiumCoreServices): GussetLexer['definition'] {
  const types = services.parser.TokenBuilder.buildTokens(services.Grammar, { caseInsensitive: false });
  return Object.fromEntries((types as { name: string }[]).map(type => [type.name, type])) as GussetLexer['definition'];
}

function createParser(): { parser: LangiumParser; lexer: GussetLexer } {
  const shared: LangiumSharedCoreServices = inject(createDefaultSharedCoreModule(EmptyFileSystem), GussetGeneratedSharedModule);
  const services: LangiumCoreServices = inject(createDefaultCoreModule({ shared }), GussetGeneratedModule, GussetModule);
  shared.ServiceRegistry.register(services);
  return { parser: services.parser.LangiumParser, lexer: services.parser.Lexer as GussetLexer };
}

let instance: ReturnType<typeof createParser> | undefined;
const services = (): ReturnType<typeof createParser> => (instance ??= createParser());

/** A syntax error; offsets are relative to the parsed text. */
export interface SyntaxProblem {
  readonly message: string;
  readonly start: number;
  readonly end: number;
}

export interface ParsedPiece {
  readonly document: Document;
  readonly problems: readonly SyntaxProblem[];
  readonly comments: readonly Comment[];
}

export function tokenize(text: string): GussetLexerResult {
  return services().lexer.tokenize(text);
}

/** Parse one top-level piece (or a whole small text). Never throws: what can't be read is a problem with its place. */
export function parsePiece(text: string): ParsedPiece {
  const { parser, lexer } = services();
  const result = parser.parse<Document>(text);
  return { document: result.value, problems: problemsOf(result, text), comments: lexer.lastComments };
}

/** Parse what stands between the braces of a text, `limit as lbm, 2`. */
export function parsePlaceholder(text: string): { placeholder: Placeholder | undefined; problems: readonly SyntaxProblem[] } {
  const marked = PLACEHOLDER_MARK + text;
  const result = services().parser.parse<Document>(marked);
  return { placeholder: result.value.placeholder, problems: problemsOf(result, marked).map(({ message, start, end }) => ({ message, start: start - 1, end: end - 1 })) };
}

/** The token that tells the grammar that what follows stands in the braces of a text. */
const PLACEHOLDER_MARK = '\u0001';

type ParseOutcome = ReturnType<LangiumParser['parse']>;

function problemsOf(result: ParseOutcome, text: string): readonly SyntaxProblem[] {
  if (result.lexerErrors.length === 0 && result.parserErrors.length === 0) return [];
  const problems: SyntaxProblem[] = result.lexerErrors.map(error => ({ message: error.message, start: error.offset, end: error.offset + Math.max(1, error.length) }));
  for (const error of result.parserErrors) {
    const token = error.token;
    const known = Number.isFinite(token.startOffset);
    const previous = (error as { previousToken?: { endOffset?: number } }).previousToken;
    const start = known ? token.startOffset : Math.max(0, Math.min(text.length - 1, previous?.endOffset ?? text.trimEnd().length - 1));
    const end = known && token.endOffset! >= start ? token.endOffset! + 1 : start + 1;
    problems.push({ message: error.message, start, end });
  }
  return problems.sort((a, b) => a.start - b.start);
}
