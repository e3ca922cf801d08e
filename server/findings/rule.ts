/** What a finding is, and what the project looks like to one. */
import type { FindingCode } from '../language/index.js';
import type { Declaration, Item } from '../model/declaration.js';
import type { Entity, Namespace } from '../model/namespace.js';
import type { Cell } from '../engine/evaluation/cell.js';
import type { Evaluation } from '../engine/evaluation/evaluation.js';
import type { RequirementResult, Verification } from '../engine/verification.js';
import type { Place, Reason } from '../engine/values/value.js';

export type Severity = 'error' | 'warning' | 'information' | 'hint';

/**
 * Where an edit of a fix goes: at the finding, at another place, behind it, as the last statement of a block, at the
 * end of the file; or a statement is taken out.
 */
export type FixPlace =
  | Place
  | 'here'
  | { readonly after: Place }
  | { readonly inside: Place }
  | { readonly endOf: Place }
  | { readonly remove: Item };

/** A change of text that mends a finding. `begins`: the engineer has to finish it, and the finding stays until then. */
export interface Fix {
  readonly title: string;
  readonly edits: readonly { readonly place: FixPlace; readonly text: string }[];
  readonly begins?: boolean;
}

/** What a fix may look at beside what was found. */
export interface FixHelp {
  readonly view: ProjectView;
  textAt(place: Place): string;
}

/**
 * Something found, before it is worded. `data` fills the rule's message; `data.configuration` names the configuration
 * it was found in, and
 * what was found alike in several is worded once.
 */
export interface Found {
  readonly code: FindingCode;
  readonly place: Place;
  readonly data: Readonly<Record<string, string>>;
  readonly related?: readonly { readonly place: Place; readonly message: string }[];
  /** Worded by its own rule, and put behind the message. */
  readonly cause?: Reason;
  /** Overrides the rule's own severity where it depends on what was found. */
  readonly severity?: Severity;
}

/** One configuration of the project, evaluated. */
export interface ConfigurationView {
  readonly name: string | null;
  readonly evaluation: Evaluation;
  readonly verification: Verification;
}

/** A library that the project uses, with what it states of itself in a `project` block of its own. */
export interface UsedLibraryView {
  readonly key: string;
  /** As the project calls it. */
  readonly name: string;
  /** The folder or file. */
  readonly path: string;
  readonly project: string | null;
  readonly revision: string | null;
  /** Of its texts, whatever ends their lines, and of the data that they read; null while some are still to be read. */
  readonly hash: string | null;
}

export interface ProjectView {
  /** Grows with every update: what is derived from the whole project can be kept until then. */
  readonly revision: number;
  readonly namespace: Namespace;
  readonly library: Namespace;
  /** The flight configurations (or the base model alone where there are none); never empty. */
  readonly configurations: readonly ConfigurationView[];
  readonly asOf: string;
  readonly thinMargin: number;
  /** Codes of all findings there are. */
  readonly codes: ReadonlySet<string>;
  /** Milestones that have passed at `asOf`, or are being prepared. */
  reached(milestone: string): boolean;
  readonly libraries: readonly UsedLibraryView[];
  /** What a `use` in a file leads to, or why to nothing; undefined while that is not known. */
  useOutcome(
    file: string,
    path: string,
  ): { readonly key: string; readonly spelt: string } | { readonly problem: string } | undefined;
  /** Files that a file cites by another spelling than the file system's, with that one; by their paths. */
  spelling(file: string, path: string): string | undefined;
  /** Whether a file that a declaration cites exists; undefined while that is not known. */
  fileExists(from: Entity, path: string): boolean | undefined;
}

/** Takes what a rule found. */
export type Report = (found: Found) => void;

/** A sentence with `{names}` from the data, or what makes one of the data. */
export type Message = string | ((data: Readonly<Record<string, string>>) => string);

/**
 * One kind of finding. A rule that only words a problem of the parser, the model or the engine has a message alone;
 * others look for
 * themselves: at a requirement's result, or at a cell that holds a check or calls formulas with conditions, in one
 * configuration, at one declaration (and nothing beyond it), or at the whole project.
 */
export interface FindingRule {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly title: string;
  /** A sentence that stands alone, with `{names}` from the data: what is wrong, which value, how to mend it. */
  readonly message: Message;
  onRequirement?(report: Report, result: RequirementResult, configuration: ConfigurationView, view: ProjectView): void;
  onCell?(report: Report, cell: Cell, configuration: ConfigurationView, view: ProjectView): void;
  /** Kinds of block that `onDeclaration` looks at; all where it is left out. */
  readonly kinds?: readonly string[];
  onDeclaration?(report: Report, entity: Entity, view: ProjectView): void;
  onProject?(report: Report, view: ProjectView): void;
  /** `text` is what stands at the place of the finding. */
  fix?(found: Found, text: string, help: FixHelp): Fix | readonly Fix[] | null;
}

export function rule(definition: FindingRule): FindingRule {
  return definition;
}

/** The message of a rule with its names filled in. What is left out leaves no gap before punctuation. */
export function wordMessage(message: Message, data: Readonly<Record<string, string>>): string {
  const text =
    typeof message === 'function'
      ? message(data)
      : message.replace(/\{(\w+)\}/g, (whole, name: string) => data[name] ?? whole);
  return text.replace(/ +([.,:;)])(?=\s|$)/g, '$1').replace(/ {2,}/g, ' ');
}

export const at = (owner: Declaration | Item, id = 2): Place => ({ owner, id });
