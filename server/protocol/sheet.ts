/** The margin sheet: every check of a project in its governing case, plots of them, and values that are tried. */
import { message } from './messages.js';
import type { Location, Status } from './overview.js';

/** Margins of different kinds are never ranked against each other. `other`: on no stress and no load. */
export type SheetKind =
  'undetermined' | 'strength' | 'other' | 'distance' | 'life' | 'probability' | 'boolean' | 'unbounded';

export interface SheetOutcome {
  /** In `unit`; null where undetermined, unbounded or without one. */
  readonly margin: number | null;
  /** As printed. */
  readonly marginText: string;
  readonly governing: string | null;
  readonly applied: string;
  readonly allowable: string;
  readonly passes: boolean | null;
}

export interface SheetRow extends SheetOutcome {
  /** Stays while the row means the same check. */
  readonly id: string;
  readonly requirement: string;
  readonly text: string;
  readonly part: string | null;
  readonly mode: string | null;
  readonly configuration: string | null;
  readonly kind: SheetKind;
  /** Of a distance. */
  readonly unit: string | null;
  readonly basis: string | null;
  readonly source: string | null;
  readonly factors: readonly string[];
  readonly status: Status;
  readonly thin: boolean;
  /** Rows of the check's sweep. */
  readonly cases: number;
  readonly location: Location;
  /** Where its requirement begins, in the same file. */
  readonly requirementLine: number;
  /** With the values that are tried; null where nothing is tried or nothing moved. */
  readonly tried: TriedOutcome | null;
}

export interface TriedOutcome extends SheetOutcome {
  /** Of its requirement. */
  readonly status: Status;
}

/** A requirement that would have another status. */
export interface StatusMove {
  readonly requirement: string;
  readonly from: Status;
  readonly to: Status;
}

export interface SheetMass {
  /** kg; null where undetermined. */
  readonly predicted: number | null;
  readonly limit: number | null;
  readonly tried: number | null;
}

export interface TrialState {
  readonly values: readonly {
    readonly name: string;
    readonly text: string;
    /** As it is read: with the tolerance that is written, where the text says none. */
    readonly full: string;
    readonly written: string;
    readonly location: Location | null;
    /** What it is well to know, each a whole sentence. */
    readonly notes: readonly string[];
  }[];
  readonly problems: readonly { readonly name: string; readonly message: string }[];
}

export interface Sheet {
  readonly name: string;
  readonly revision: string | null;
  readonly asOf: string;
  /** Where the day of judgement comes from, in words. */
  readonly asOfOrigin: string;
  readonly configurations: readonly string[];
  /** Names this state; asked with it, the server tells what differs from it alone. */
  readonly version: number;
  /** Rows in the order of the files, or those that differ from the version asked with. */
  readonly rows: readonly SheetRow[];
  /** Null where `rows` are all there are; else the ids that are left, in order, where any came, went or moved. */
  readonly order: readonly string[] | 'as before' | null;
  /** Margins below it are thin; 0 where the project asks for no more than that each holds. */
  readonly thinBelow: number;
  readonly mass: SheetMass;
  readonly trial: TrialState;
  /** What is tried makes of requirements. */
  readonly statuses: readonly StatusMove[];
}

/** What a request names its project by: any document of it. */
export interface AboutProject {
  readonly textDocument: { readonly uri: string };
}

export const sheetMessage = message<AboutProject & { readonly known: number | null }, Sheet>('gusset/sheet');

/** Rows by their ids, as the texts are now; one that is gone is not answered. Sooner there than the whole sheet. */
export const sheetRowsMessage = message<AboutProject & { readonly ids: readonly string[] }, readonly SheetRow[]>(
  'gusset/sheetRows',
);

/** Tries values beside the texts; an empty list ends the trial. */
export const trialMessage = message<
  AboutProject & { readonly values: readonly { readonly name: string; readonly text: string }[] },
  TrialState
>('gusset/trial');

/** The edits that write what is tried into the texts. */
export const applyTrialMessage = message<
  AboutProject,
  {
    readonly changes: Readonly<
      Record<
        string,
        readonly {
          readonly range: {
            readonly start: { readonly line: number; readonly character: number };
            readonly end: { readonly line: number; readonly character: number };
          };
          readonly newText: string;
        }[]
      >
    >;
  }
>('gusset/applyTrial');

/** A value as it may be tried. */
export interface Triable {
  readonly name: string;
  readonly written: string;
  /** Whether it is written in the part that was asked about, or in the requirement itself. */
  readonly own: boolean;
}

/**
 * The value at a position; elsewhere in a requirement, the values that its checks rest on, those of its own part first.
 */
export const triableMessage = message<
  AboutProject & { readonly position: { readonly line: number; readonly character: number } },
  readonly Triable[]
>('gusset/triable');

/** Others that stand to reason for a value: the materials, the rows of a table, the steps of a range. */
export const choicesMessage = message<AboutProject & { readonly name: string }, readonly string[]>('gusset/choices');

/** The value at which the margin of a row is zero, with all else that is tried. */
export const zeroMarginMessage = message<
  AboutProject & { readonly name: string; readonly row: string },
  {
    /** Null where there is none. */
    readonly text: string | null;
    /** What was found, a whole sentence. */
    readonly message: string;
  }
>('gusset/zeroMargin');

/** A check worked out where it governs. */
export interface Worked {
  /** As it is written, with numbers, and what it comes to. */
  readonly sides: readonly { readonly side: 'left' | 'right'; readonly steps: readonly string[] }[];
  readonly inputs: readonly {
    readonly name: string;
    /** There. */
    readonly value: string;
    /** With its tolerance; null where it has none. */
    readonly stated: string | null;
    readonly source: string | null;
    readonly location: Location | null;
  }[];
}

export const workedMessage = message<AboutProject & { readonly row: string }, Worked | null>('gusset/worked');

/** Colours a picture is drawn in: custom properties of a panel's page, or fixed ones where there is no page. */
export type PictureColors = 'page' | 'light' | 'dark';

export type PlotSubject =
  | { readonly kind: 'sweep'; readonly row: string }
  | { readonly kind: 'spectrum'; readonly load: string }
  | { readonly kind: 'mass' };

export interface Plot {
  readonly title: string;
  readonly svg: string;
  /** The same as numbers. */
  readonly csv: string;
}

export const plotMessage = message<
  AboutProject & { readonly subject: PlotSubject; readonly colors: PictureColors },
  Plot | null
>('gusset/plot');

/** Spectra that can be drawn, by the name of their load. */
export const spectraMessage = message<AboutProject, readonly string[]>('gusset/spectra');
