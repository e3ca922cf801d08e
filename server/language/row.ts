/** What a row of the tables of the language says of a word. */

export interface WordRow<Block extends string = string> {
  /** The whole of it as it is written, places to fill in as words. */
  readonly form: string;
  readonly documentation: string;
  /** Node of the tree, and its rule in the notation of the grammar, where it is a statement or a suffix of its own. */
  readonly node?: string;
  readonly rule?: string;
  /** Kinds of block that the names behind it may be; where it is left out, it names none. */
  readonly names?: readonly Block[];
  /** The names behind it may have hyphens: they are labels. */
  readonly labels?: true;
  /** It needs nothing behind it: a value may end with it. */
  readonly complete?: true;
  /** Of a clause: the statements, or kinds of expression, that it goes on with. */
  readonly continues?: readonly string[];
  /** It is a name wherever it does not continue them. */
  readonly isNameElsewhere?: true;
  /** What is written for it where that is not the word and a space. */
  readonly begins?: string;
  /** It is written without a word of its own. */
  readonly wordless?: true;
  /** Of a type: what may be of it. */
  readonly isParameter?: true;
  readonly isColumn?: true;
  /** What is likely behind it, as it is written. */
  readonly values?: readonly string[];
  /** Text of the language that is complete at the top of a file. */
  readonly example?: string;
}
