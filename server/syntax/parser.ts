/** Text to tree: the Langium parser over one top-level piece. */
import type { ILexingError, IToken, TokenType } from 'chevrotain';
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  EmptyFileSystem,
  inject,
  type LangiumCoreServices,
  type LangiumParser,
  type LangiumSharedCoreServices,
  type Module,
  type PartialLangiumCoreServices,
} from 'langium';
import type { GivenUp } from './lean/descent.js';
import type { Document, Placeholder } from './generated/ast.js';
import { LeanParser } from './lean/generated/parser.js';
import { GussetGeneratedModule, GussetGeneratedSharedModule } from './generated/module.js';
import { GussetLexer, type Comment, type GussetLexerResult, type LexicalError } from './lexer.js';
import { GussetMessages, TooManyErrors } from './messages.js';

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

function createParser(): { parser: LangiumParser; lexer: GussetLexer; messages: GussetMessages } {
  const shared: LangiumSharedCoreServices = inject(
    createDefaultSharedCoreModule(EmptyFileSystem),
    GussetGeneratedSharedModule,
  );
  const services: LangiumCoreServices = inject(
    createDefaultCoreModule({ shared }),
    GussetGeneratedModule,
    GussetModule,
  );
  shared.ServiceRegistry.register(services);
  listOnce(services.parser.LangiumParser);
  return {
    parser: services.parser.LangiumParser,
    lexer: services.parser.Lexer as GussetLexer,
    messages: services.parser.ParserErrorMessageProvider as GussetMessages,
  };
}

/**
 * Recovery compares each token with the list of those to go on from, in which each stands as often as its rule on the
 * stack: deep nesting with an error inside took minutes.
 */
function listOnce(parser: LangiumParser): void {
  const { wrapper } = parser as unknown as { wrapper: { flattenFollowSet(): TokenType[] } };
  const flatten = wrapper.flattenFollowSet.bind(wrapper);
  wrapper.flattenFollowSet = () => [...new Set(flatten())];
}

let instance: ReturnType<typeof createParser> | undefined;
const services = (): ReturnType<typeof createParser> => (instance ??= createParser());

/** A syntax error; offsets are relative to the parsed text. */
export interface SyntaxProblem {
  readonly message: string;
  readonly start: number;
  readonly end: number;
  /** What may be written there instead, best first. */
  readonly replacements?: readonly string[];
}

export interface ParsedPiece {
  readonly document: Document;
  readonly problems: readonly SyntaxProblem[];
  readonly comments: readonly Comment[];
}

export function tokenize(text: string): GussetLexerResult {
  return quickLexer.tokenize(text);
}

/** Token types by name alone, for what reads tokens without the generated parser. */
const quickLexer = new GussetLexer(
  new Proxy<Record<string, TokenType>>({}, { get: (types, name: string) => (types[name] ??= { name } as TokenType) }),
);

/** Parse one top-level piece (or a whole small text). Never throws: what can't be read is a problem with its place. */
export function parsePiece(text: string): ParsedPiece {
  const { tokens, errors, comments, quick } = parseQuickly(text);
  if (quick?.$type === 'Document') return { document: quick, problems: NO_PROBLEMS, comments };
  if (tokens.length <= MOST_RECOVERED && tokens.length * depthOf(tokens) <= MOST_NESTED) return parseByGrammar(text);
  const problems = [...errors.map(lexicalProblem), ...tooLong(tokens, quick)];
  return { document: NOTHING, problems: inOrder(problems), comments };
}

/** One piece, if it has no errors; else null, and in no time. */
export function parseSound(text: string): ParsedPiece | null {
  const { comments, quick } = parseQuickly(text);
  return quick?.$type === 'Document' ? { document: quick, problems: NO_PROBLEMS, comments } : null;
}

/** Tokens, and the tree where there are no errors. */
function parseQuickly(text: string): ReturnType<typeof quickLexer.tokenize> & { quick: Document | GivenUp | null } {
  const lexed = quickLexer.tokenize(text);
  return { ...lexed, quick: lexed.errors.length === 0 ? parseLean(lexed.tokens) : null };
}

/** The tree for tokens without errors, or where the generated parser of the grammar has to read. */
export function parseLean(tokens: readonly IToken[]): Document | GivenUp {
  const parser = new LeanParser(tokens);
  return parser.whole(() => parser.Document());
}

/** The time that recovery from an error takes grows faster than the text, and with its nesting. */
const MOST_RECOVERED = 20_000;
const MOST_NESTED = 500_000;

/** How many brackets are open at most. */
function depthOf(tokens: readonly IToken[]): number {
  let depth = 1;
  let most = 1;
  for (const { image } of tokens) {
    if (image === '(' || image === '[' || image === '{') most = Math.max(most, ++depth);
    else if (image === ')' || image === ']' || image === '}') depth--;
  }
  return most;
}

const NOTHING = { $type: 'Document', statements: [] } as unknown as Document;
/** In the place of what could not be read. */
export const EMPTY_PIECE: ParsedPiece = { document: NOTHING, problems: [], comments: [] };

function tooLong(tokens: readonly IToken[], reached: GivenUp | null): SyntaxProblem[] {
  const token = tokens[reached?.at ?? 0] ?? tokens.at(-1)!;
  const message = reached?.tooDeep
    ? TOO_DEEP
    : `A syntax error from here on, in a statement of ${tokens.length} words and signs: too long to tell more. Split it.`;
  return [{ message, start: token.startOffset, end: token.endOffset! + 1 }];
}

const TOO_DEEP = 'This is nested too deeply to be read: split it with `let`.';
const NO_PROBLEMS: readonly SyntaxProblem[] = [];

/** The generated parser: slower, but it recovers and says what it expected. */
export function parseByGrammar(text: string): ParsedPiece {
  const { parser, lexer, messages } = services();
  messages.told = [];
  try {
    const result = parser.parse<Document>(text);
    return { document: result.value, problems: problemsOf(result, text), comments: lexer.lastComments };
  } catch (error) {
    // Too deep a recursion, or what the half-built tree of one breaks afterwards; it is thrown away with the parser.
    if (!(error instanceof RangeError || error instanceof TypeError || error instanceof TooManyErrors)) throw error;
    instance = undefined;
    if (error instanceof TooManyErrors)
      return {
        document: NOTHING,
        problems: messages.told.map(({ message, token }) => problemAt(token, undefined, message, text)),
        comments: lexer.lastComments,
      };
    return {
      document: NOTHING,
      problems: [{ message: TOO_DEEP, start: 0, end: text.length }],
      comments: [],
    };
  }
}

/** Parse what stands between the braces of a text, `limit as lbm, 2`. */
export function parsePlaceholder(text: string): {
  placeholder: Placeholder | undefined;
  problems: readonly SyntaxProblem[];
} {
  const { document, problems } = parsePiece(PLACEHOLDER_MARK + text);
  return {
    placeholder: document.placeholder,
    problems: problems.map(({ message, start, end }) => ({ message, start: start - 1, end: end - 1 })),
  };
}

/** The token that tells the grammar that what follows stands in the braces of a text. */
export const PLACEHOLDER_MARK = '\u0001';

type ParseOutcome = ReturnType<LangiumParser['parse']>;

function problemsOf(result: ParseOutcome, text: string): readonly SyntaxProblem[] {
  if (result.lexerErrors.length === 0 && result.parserErrors.length === 0) return [];
  const problems: SyntaxProblem[] = result.lexerErrors.map(lexicalProblem);
  for (const { token, message, ...rest } of result.parserErrors)
    problems.push(problemAt(token, (rest as { previousToken?: IToken }).previousToken, message, text));
  return inOrder(problems);
}

/** At a token, or behind the one before where it is the end. */
function problemAt(token: IToken, previous: IToken | undefined, message: string, text: string): SyntaxProblem {
  const known = Number.isFinite(token.startOffset) && token.startOffset >= 0;
  const start = known
    ? token.startOffset
    : Math.max(0, Math.min(text.length - 1, previous?.endOffset ?? text.trimEnd().length - 1));
  const end = known && token.endOffset! >= start ? token.endOffset! + 1 : start + 1;
  const within = Math.min(start, Math.max(0, text.length - 1));
  return { message, start: within, end: Math.max(within, Math.min(end, text.length)) };
}

function lexicalProblem({ message, offset, length, ...rest }: ILexingError): SyntaxProblem {
  const { replacements = [] } = rest as Partial<LexicalError>;
  return {
    message,
    start: offset,
    end: offset + Math.max(1, length),
    ...(replacements.length > 0 && { replacements }),
  };
}

/** More errors in one statement than these tell nobody more. */
const MOST_PROBLEMS = 1000;

function inOrder(problems: SyntaxProblem[]): SyntaxProblem[] {
  return problems.sort((a, b) => a.start - b.start).slice(0, MOST_PROBLEMS);
}
