/** What views of a project show: requirements, masses, and the chain from lot to evidence. */
import { message } from './messages.js';

export type Status = 'failing' | 'undetermined' | 'waived' | 'lapsed' | 'unverified' | 'verified';

/** Worst first. */
export const STATUSES: readonly Status[] = ['failing', 'undetermined', 'waived', 'lapsed', 'unverified', 'verified'];

/** Where something is declared; lines are zero-based. */
export interface Location {
  readonly uri: string;
  readonly line: number;
  readonly character: number;
}

export interface RequirementOverview {
  readonly label: string;
  /** The shall-statement with its limits filled in. */
  readonly text: string;
  readonly part: string | null;
  readonly status: Status;
  readonly thin: boolean;
  /** As printed, "+0.12"; null where there is none. */
  readonly margin: string | null;
  readonly governing: string | null;
  /** Why this status: a clause each. */
  readonly reasons: readonly string[];
  /** What is open in a few words: the method that waits, or the first reason; null where nothing is. */
  readonly open: string | null;
  /** Milestones that its methods are due by. */
  readonly milestones: readonly string[];
  /** Of the check that governs, for a test's message. */
  readonly applied: string | null;
  readonly allowable: string | null;
  readonly location: Location;
  /** Where the check that governs stands. */
  readonly check: Location | null;
}

export interface PartOverview {
  readonly part: string;
  readonly title: string | null;
  readonly depth: number;
  readonly count: number;
  /** kg, with all below it, of all items; null where undetermined. */
  readonly basic: number | null;
  readonly predicted: number | null;
  readonly maturity: string | null;
  /** Predicted with the values that are being tried, kg. */
  readonly tried: number | null;
  readonly location: Location | null;
}

/** A lot, an article or a piece of evidence, with what stands on it below. */
export interface ChainEntry {
  readonly kind: 'material' | 'lot' | 'part' | 'article' | 'evidence' | 'requirement' | 'waiver';
  readonly label: string;
  readonly detail: string;
  readonly location: Location;
  readonly children: readonly ChainEntry[];
}

export interface ProjectOverview {
  /** Tells the projects of a workspace apart: the address of its first file. */
  readonly uri: string;
  readonly name: string;
  readonly revision: string | null;
  readonly asOf: string;
  /** The date that the project itself is judged by, though another may be asked for. */
  readonly ownDate: string;
  readonly milestones: readonly { readonly name: string; readonly title: string; readonly date: string }[];
  readonly configurations: readonly string[];
  readonly requirements: readonly RequirementOverview[];
  readonly parts: readonly PartOverview[];
  /** kg */
  readonly massLimit: number | null;
  readonly massPredicted: number | null;
  /** Materials and their lots, with the parts, articles and evidence that rest on each. */
  readonly chain: readonly ChainEntry[];
}

/** Client to server: every project of the workspace. */
export const overviewMessage = message<Record<string, never>, readonly ProjectOverview[]>('gusset/overview');

/** How a project stands, in a few numbers. */
export interface ProjectCounts {
  /** As in its overview. */
  readonly uri: string;
  readonly name: string;
  /** Requirements by status; one that none has is left out. */
  readonly requirements: Readonly<Partial<Record<Status, number>>>;
  readonly parts: number;
  readonly configurations: number;
}

/** Client to server: counts of every project of the workspace, for what shows no more than those. */
export const countsMessage = message<Record<string, never>, readonly ProjectCounts[]>('gusset/counts');

/** Client to server: the requirements of one document, for the marks beside its lines. */
export const requirementsMessage = message<
  { readonly textDocument: { readonly uri: string } },
  readonly RequirementOverview[]
>('gusset/requirements');
