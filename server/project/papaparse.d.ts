/** The part of Papa Parse in use. Its published types need those of Node and of the browser. */
declare module 'papaparse' {
  interface ParseResult {
    readonly data: string[][];
    readonly errors: readonly { readonly code: 'MissingQuotes' | 'InvalidQuotes'; readonly row: number }[];
    /** `cursor`: characters of the input that whole rows took. */
    readonly meta: { readonly cursor: number };
  }

  export interface Parser {
    parse(input: string, baseIndex: number, ignoreLastRow: boolean): ParseResult;
  }

  const Papa: {
    readonly Parser: new (config: { readonly delimiter: string; readonly newline: '\n' | '\r' }) => Parser;
  };
  export default Papa;
}
