/** Parser errors in the engineer's words. */
import { LangiumParserErrorMessageProvider } from 'langium';
import type { IToken, TokenType } from 'chevrotain';

const NAMES: Record<string, string> = {
  NAME: 'a name',
  LABEL: 'a label',
  UNIT: 'a unit',
  NUMBER: 'a number',
  STRING: 'a text in quotes',
  DATE: 'a date',
  KEYWORD: 'a block',
  TOLERANCE: 'limits',
  EOF: 'the end',
  LEVEL: 'a level',
};
const describe = (type: TokenType): string => NAMES[type.name] ?? `'${type.name}'`;
const found = (token: IToken): string =>
  token.image === '' || token.image === undefined
    ? 'the end of the statement'
    : `'${token.image.length > 40 ? `${token.image.slice(0, 40)}…` : token.image}'`;
const after = (token: IToken | undefined): string => (token?.image ? ` after '${token.image}'` : '');

/** What other languages write between or inside the statements of a block. */
const HABITS: ReadonlyMap<string, string> = new Map([
  [',', "Statements are apart by spaces or lines: leave ',' out."],
  [':', "A value stands behind '=': write it instead of ':'."],
]);

/** More errors than these in one statement: it is no use to read on, and each costs more the deeper it lies. */
const MOST_ERRORS = 100;

export class TooManyErrors extends Error {
  override readonly name = 'TooManyErrors';
}

export class GussetMessages extends LangiumParserErrorMessageProvider {
  /** The errors of the text that is being parsed. */
  told: { readonly message: string; readonly token: IToken }[] = [];

  private tell(token: IToken, message: string): string {
    this.told.push({ message, token });
    if (this.told.length === MOST_ERRORS) throw new TooManyErrors();
    return message;
  }

  override buildMismatchTokenMessage({
    expected,
    actual,
    previous,
  }: {
    expected: TokenType;
    actual: IToken;
    previous: IToken;
  }): string {
    if (expected.name === 'EOF') return this.tell(actual, `${found(actual)} can't stand here${after(previous)}.`);
    const habit = expected.name === '}' ? HABITS.get(actual.image) : undefined;
    return this.tell(actual, habit ?? `Expected ${describe(expected)}${after(previous)}, found ${found(actual)}.`);
  }

  override buildNotAllInputParsedMessage({ firstRedundant }: { firstRedundant: IToken }): string {
    if (!firstRedundant.image)
      return 'The text ends here and something is still missing: a value or a closing bracket.';
    if (firstRedundant.image === '}') return "This '}' closes nothing: remove it.";
    if (firstRedundant.tokenType.name === 'UNIT' || firstRedundant.tokenType.name === 'NUMBER')
      return `${found(firstRedundant)} can't stand here: is an operator or a '=' missing before it?`;
    return `${found(firstRedundant)} can't stand here: a statement begins with a name and '=' or with a word such as part, let, requirement or check.`;
  }

  override buildNoViableAltMessage({
    actual,
    previous,
    expectedPathsPerAlt,
  }: {
    actual: IToken[];
    previous: IToken;
    expectedPathsPerAlt: TokenType[][][];
  }): string {
    const first = new Set(
      expectedPathsPerAlt
        .flat()
        .filter(path => path.length > 0)
        .map(path => describe(path[0]!)),
    );
    const expected = first.has('a number') && first.has("'['") ? 'a value' : [...first].slice(0, 4).join(' or ');
    return this.tell(actual[0]!, `Expected ${expected}${after(previous)}, found ${found(actual[0]!)}.`);
  }

  override buildEarlyExitMessage({ actual, previous }: { actual: IToken[]; previous: IToken }): string {
    const where = previous.image ? ` '${previous.image}'` : ' here';
    return this.tell(actual[0]!, `${found(actual[0]!)} can't follow${where}.`);
  }
}
