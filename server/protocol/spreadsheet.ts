/** What goes between a spreadsheet and a text through the clipboard. */
import { message } from './messages.js';

/** Client to server: a copied range as text to insert, with places to fill in; null where it is none. */
export const pastedTableMessage = message<
  { readonly textDocument: { readonly uri: string }; readonly text: string },
  string | null
>('gusset/pastedTable');

/** Client to server: the table at a place as a spreadsheet takes it; null where there is none. */
export const copiedTableMessage = message<
  {
    readonly textDocument: { readonly uri: string };
    readonly position: { readonly line: number; readonly character: number };
    /** Sign before the decimals. */
    readonly decimal: string;
  },
  string | null
>('gusset/copiedTable');
