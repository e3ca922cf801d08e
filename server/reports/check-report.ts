/**
 * The check report: one plain tree, JSON as it stands, between evaluation and every output.
 * Published as `gusset-check-report/1`; its JSON Schema is docs/json/check-report.schema.json.
 * Numbers are finite or null; null never means zero and never means passed.
 */
import type { DayOrigin } from '../project/day.js';

export interface CheckReport {
  schema: 'gusset-check-report/1';
  tool: { name: 'gusset'; version: string };
  /** Null where the folder has no `project` block. */
  project: { name: string; title: string | null; revision: string | null } | null;
  /** ISO date by which expiry was judged. */
  asOf: string;
  asOfOrigin: DayOrigin;
  /** The flight (or asked-for) configurations evaluated; empty = the base model alone. */
  configurations: string[];
  requirements: RequirementReport[];
  /** The values asked for by name, one entry per configuration. */
  values: ValueReport[];
  /** Parts in tree order, parents before children, one run per configuration. */
  mass: MassReport[];
  /** Parts whose checks sweep a load at all. */
  loads: LoadsReport[];
  /** The loads themselves, with the clauses they are taken from. */
  loadEvents: LoadEventReport[];
  /** What the project cites. */
  sources: SourceReport[];
  assumptions: AssumptionReport[];
  lots: LotReport[];
  articles: ArticleReport[];
  evidence: EvidenceReport[];
  /** What the project uses; left out where it uses none. */
  libraries?: LibraryReport[];
  diagnostics: DiagnosticReport[];
  totals: Totals;
}

export interface LibraryReport {
  /** As the project calls it. */
  name: string;
  /** Folder or file, relative to the workspace. */
  path: string;
  /** Name and revision in its own `project` block. */
  project: string | null;
  revision: string | null;
  /** Twelve hexadecimal digits over its texts and data. */
  content: string | null;
  /** Values of it that a configuration overrides, by name. */
  overrides: { configuration: string; value: string }[];
}

export type Status = 'failing' | 'undetermined' | 'waived' | 'lapsed' | 'unverified' | 'verified';

/** Worst first. */
export const statuses: readonly Status[] = ['failing', 'undetermined', 'waived', 'lapsed', 'unverified', 'verified'];

/** Margins of different kinds are never ranked against each other. */
export type MarginKind = 'strength' | 'distance' | 'life' | 'probability' | 'boolean' | 'unbounded';

export interface RequirementReport {
  label: string;
  /** The shall-statement with its limits filled in. */
  text: string;
  /** Qualified name of the part the requirement stands in; null at project level. */
  part: string | null;
  /** The worst over the evaluated configurations. */
  status: Status;
  /** Whether the governing margin is below the project's thin margin. */
  thin: boolean;
  /** Why this status: one sentence each. */
  reasons: string[];
  /**
   * Of the governing check, in `marginUnit` (dimensionless where null); null where undetermined, boolean or unbounded.
   */
  margin: number | null;
  marginKind: MarginKind | null;
  /** Only a distance has one. */
  marginUnit: string | null;
  /** The governing case by name, e.g. "Liftoff +axial, 40 °C". */
  governing: string | null;
  /** Hash over all the checks reach; no signature and no seal. */
  imprint: string | null;
  /** Relative to the project folder, with forward slashes. */
  file: string;
  /** One-based. */
  line: number;
  statusByConfiguration: Record<string, Status>;
  checks: CheckEntry[];
  methods: MethodEntry[];
  /** The clause it comes from: "GUIDE 4.1, 3.1". */
  source: string | null;
  /** Names of the loads that its checks read. */
  loads: string[];
  /** Labels of the assumptions that its checks rest on. */
  assumptions: string[];
  /** Labels of the requirements this one was derived from. */
  parents: string[];
  /** Labels of the requirements derived from this one. */
  children: string[];
  /** Label of the waiver that applies. */
  waiver: string | null;
  /** Labels of the evidence offered, current or lapsed. */
  evidence: string[];
}

/** One check in one configuration, reduced to its governing row. */
export interface CheckEntry {
  /** Failure mode as named in the check. */
  mode: string | null;
  /** Null = the base model. */
  configuration: string | null;
  /** As in the requirement: in `marginUnit`; null where undetermined, boolean or unbounded. */
  margin: number | null;
  marginKind: MarginKind | null;
  marginUnit: string | null;
  thin: boolean;
  /** Null where undetermined, which never passes. */
  passes: boolean | null;
  governing: string | null;
  /** Why it is undetermined, and where that is written; null where it is not. */
  cause: { message: string; file: string | null; line: number | null } | null;
  /** The left-hand side at the governing case, factors included. */
  applied: QuantityReport | null;
  relation: '<=' | '>=' | '<' | '>' | 'range' | 'boolean' | 'reserve';
  allowable: QuantityReport | null;
  /** Statistical basis, e.g. "A", "B", "S", "typical". */
  allowableBasis: string | null;
  allowableSource: string | null;
  /** The factor chain in order of application, e.g. "FlightPrinted.ultimate 1.5". */
  factors: string[];
  /** Whether anything varied: tolerances, or what lies between the cases of the sweep. */
  reading: 'nominal' | 'worst case';
  /** One-based, in the requirement's file. */
  line: number;
  /** The check as written. */
  formula: string;
  rowCount: number;
  /** All rows of the sweep; only on request. */
  rows?: RowEntry[];
}

export interface RowEntry {
  case: string;
  /** In the check's `marginUnit`. */
  margin: number | null;
  marginKind: MarginKind | null;
  applied: QuantityReport | null;
  allowable: QuantityReport | null;
  passes: boolean | null;
  /** Why the row is undetermined, or what is to be known about it. */
  note: string | null;
}

export interface QuantityReport {
  /** In `unit`. */
  value: number | null;
  /** As the language spells it; empty where dimensionless. */
  unit: string;
  /** As printed, e.g. "402 MPa". */
  text: string;
}

export interface MethodEntry {
  /** "test", "analysis", "inspection", "review of design" or "demonstration". */
  method: string;
  article: string | null;
  level: string | null;
  milestone: string | null;
  closed: boolean;
  /** Label of what closed it. */
  by: string | null;
  /** Labels of the evidence that closed it. */
  evidence: string[];
  /** The cases that stay open; empty where closed, or where the whole is open. */
  open: string[];
}

export interface ValueReport {
  name: string;
  /** Nominal, in `unit`; null where undetermined. */
  value: number | null;
  unit: string;
  /** Lowest value within tolerances, or lower end of a range, in `unit`; null where undetermined. */
  low: number | null;
  /** Highest value within tolerances, or upper end of a range, in `unit`; null where undetermined. */
  high: number | null;
  text: string;
  configuration: string | null;
}

/** One part with everything below it. */
export interface MassReport {
  /** Qualified name. */
  part: string;
  title: string | null;
  /** 0 for a part that stands in no other. */
  depth: number;
  count: number;
  /** All `count` items and everything below them, without growth, kg. */
  basic: number | null;
  /** All `count` items and everything below them, with growth, nominal, kg. */
  predicted: number | null;
  /** The same at the worst of all tolerances, kg. */
  predictedWorst: number | null;
  /** Null where the part has no mass of its own. */
  maturity: string | null;
  /** Predicted over basic less one, as a fraction. */
  growth: number | null;
  configuration: string | null;
}

export interface LoadEventReport {
  name: string;
  title: string | null;
  /** What its values already contain: "limit", "qualification", … */
  level: string | null;
  /** The clause it is taken from. */
  source: string | null;
}

/** A document. */
export interface SourceReport {
  name: string;
  title: string | null;
  revision: string | null;
  date: string | null;
}

export interface AssumptionReport {
  label: string;
  text: string;
  source: string | null;
  rationale: string | null;
}

export interface LotReport {
  label: string;
  material: string | null;
  /** Path of its certificate. */
  certificate: string | null;
  received: string | null;
  expires: string | null;
  /** What it leaves unsaid, or lacks; nothing can rest on it then. */
  open: string[];
}

export interface ArticleReport {
  label: string;
  title: string | null;
  /** The part it is, or the material of a coupon. */
  of: string | null;
  /** Labels of the lots it is made from. */
  lots: string[];
  built: string | null;
  /** What keeps it from standing for the part in force. */
  open: string[];
}

export interface EvidenceReport {
  label: string;
  title: string | null;
  method: string | null;
  level: string | null;
  date: string | null;
  result: string | null;
  /** Path of its report. */
  report: string | null;
  /** Labels of the articles it was taken on. */
  articles: string[];
  /** Labels of the requirements it is for. */
  requirements: string[];
  /** Why it closes nothing that it might; empty where it can be relied on. */
  open: string[];
}

/** What each load is to a part: swept by a check of it, exempt with a reason, or open. */
export interface LoadsReport {
  /** Qualified name. */
  part: string;
  /** By the name of the load; one of another level than those that the part's checks sweep is left out. */
  loads: Record<string, 'swept' | 'exempt' | 'open'>;
}

/** Zero-based lines and UTF-16 characters, end exclusive, as in the Language Server Protocol. */
export interface TextRange {
  start: { line: number; character: number };
  end: { line: number; character: number };
}

/** Worst first. */
export type Severity = 'error' | 'warning' | 'information' | 'hint';

export interface DiagnosticReport {
  code: string;
  severity: Severity;
  message: string;
  /** Relative to the project folder, with forward slashes. */
  file: string;
  range: TextRange;
  related: { message: string; file: string; range: TextRange }[];
}

export interface Totals {
  requirements: number;
  byStatus: Record<Status, number>;
  /** Requirements whose governing margin is thin. */
  thin: number;
  checks: number;
  rows: number;
  diagnostics: Record<Severity, number>;
  /** Of the heaviest configuration, nominal, kg; null where undetermined, or where `massUnclear` names parts. */
  massPredicted: number | null;
  /** The same at the worst of all tolerances, kg. */
  massWorst: number | null;
  /** kg */
  massLimit: number | null;
  /** The part whose mass it is. */
  massOf: string | null;
  /** The heaviest configuration. */
  massConfiguration: string | null;
  /** Parts that stand in no other where there are several and the project does not say which is the whole. */
  massUnclear: string[];
}

/** The mass of the whole, kg. */
export interface MassTotals {
  readonly of: string | null;
  readonly predicted: number | null;
  readonly worst: number | null;
  readonly limit: number | null;
  readonly configuration: string | null;
  readonly unclear: string[];
}
