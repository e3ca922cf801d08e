/** What the margin sheet's page and the extension say to each other. */
import type { Location } from '../../../server/protocol/overview.js';
import type { Plot, PlotSubject, Sheet, SheetRow, Worked } from '../../../server/protocol/sheet.js';

export interface ProjectName {
  readonly uri: string;
  readonly name: string;
}

export interface TriedText {
  readonly name: string;
  readonly text: string;
}

export type ToPage =
  /** Rows of a sheet that follows, so many at a time that nothing waits for them. */
  | { readonly kind: 'rows'; readonly rows: readonly SheetRow[] }
  /** A whole sheet, or what differs from the version the page has. */
  | {
      readonly kind: 'sheet';
      readonly sheet: Sheet;
      readonly project: string;
      readonly projects: readonly ProjectName[];
    }
  /** Rows of now, that the page asked for as the `n`th time, before the sheet that they are of. */
  | { readonly kind: 'inSight'; readonly n: number; readonly rows: readonly SheetRow[] }
  /** What is shown is older than the texts, until the next sheet. */
  | { readonly kind: 'outdated' }
  /** There is nothing to show, and what to do about it. */
  | { readonly kind: 'empty'; readonly message: string }
  | { readonly kind: 'cursor'; readonly uri: string; readonly line: number }
  | { readonly kind: 'plot'; readonly subject: PlotSubject; readonly plot: Plot | null }
  /** For saving as pixels, which know no theme. */
  | { readonly kind: 'pixels'; readonly name: string; readonly svg: string }
  | { readonly kind: 'spectra'; readonly loads: readonly string[] }
  /** How a row comes to its margin. */
  | { readonly kind: 'worked'; readonly row: string; readonly worked: Worked | null }
  /** Other values for one that is tried. */
  | { readonly kind: 'choices'; readonly name: string; readonly choices: readonly string[] }
  /** A value of zero margin, or why there is none. */
  | { readonly kind: 'zeroMargin'; readonly name: string; readonly text: string | null; readonly message: string }
  /** What was tried stands in the texts now, or was dropped. */
  | { readonly kind: 'trialEnded' }
  /** A value that may be tried: its field is to be filled in. */
  | { readonly kind: 'tryable'; readonly name: string; readonly written: string; readonly choices: readonly string[] };

export type FromPage =
  /** With what the page remembers from before the window was loaded anew. */
  | { readonly kind: 'ready'; readonly project: string | null; readonly tried: readonly TriedText[] }
  /** Rows that someone looks at while they are older than the texts. */
  | { readonly kind: 'inSight'; readonly n: number; readonly ids: readonly string[] }
  | { readonly kind: 'choose'; readonly project: string }
  | { readonly kind: 'open'; readonly location: Location }
  | { readonly kind: 'draw'; readonly subject: PlotSubject }
  | { readonly kind: 'spectra' }
  | { readonly kind: 'tryAtCursor' }
  | { readonly kind: 'try'; readonly values: readonly TriedText[] }
  | { readonly kind: 'work'; readonly row: string }
  | { readonly kind: 'choices'; readonly name: string }
  | { readonly kind: 'zeroMargin'; readonly name: string; readonly row: string }
  | { readonly kind: 'apply' }
  | { readonly kind: 'copy'; readonly text: string }
  | { readonly kind: 'save'; readonly format: 'svg' | 'csv'; readonly name: string; readonly content: string }
  | { readonly kind: 'savePixels'; readonly name: string; readonly subject: PlotSubject }
  | { readonly kind: 'pixels'; readonly name: string; readonly base64: string };
