/** Messages beyond the Language Server Protocol: methods, parameters and results, as server and client see them. */

export interface Message<Params, Result> {
  readonly method: string;
  /** Never set: carries the types. */
  readonly types?: { readonly params: Params; readonly result: Result };
}

/** Names a method and its types. */
export function message<Params, Result>(method: string): Message<Params, Result> {
  return { method };
}

/** What the client says of itself in `initializationOptions`. */
export interface ClientOptions {
  /**
   * The client answers the `gusset/files/…` requests, so that folders the server can't reach itself are read through
   * it.
   */
  readonly servesFiles?: boolean;
  /** The client shows views of the project, and is told when they may be out of date. */
  readonly hasViews?: boolean;
  /** Most inlay hints on one line. */
  readonly inlayHintsPerLine?: number;
  /** The client shows pictures in hovers, on this ground. */
  readonly pictures?: 'light' | 'dark' | null;
  /** Date by which expiry is judged in the place of each project's own; null for the projects' own. */
  readonly asOf?: string | null;
  /** Folders outside of the open ones that libraries may lie in, as the user of this machine has said. */
  readonly libraryFolders?: readonly string[];
  /** `pull`: the client asks for findings, though it can be told them. */
  readonly diagnostics?: 'pull' | 'push';
}

/** Client to server: the text behind a `gusset:` address; null where the formula library has no such file. */
export const libraryTextMessage = message<{ readonly uri: string }, string | null>('gusset/libraryText');

/** A file below a workspace folder: the folder's address and a path with forward slashes. */
export interface FileAddress {
  readonly folder: string;
  readonly path: string;
}

/** Server to client: paths of all `.gus` files below a workspace folder, or below a path in it. */
export const listFilesMessage = message<{ readonly folder: string; readonly path?: string }, readonly string[]>(
  'gusset/files/list',
);

/** Server to client: a file's bytes in base64, or a whole sentence that says why there are none. */
export const readFileMessage = message<
  FileAddress & { readonly sizeLimit: number },
  { readonly base64: string } | { readonly problem: string }
>('gusset/files/read');

/** Server to client: whether there is such a file. */
export const fileExistsMessage = message<FileAddress, boolean>('gusset/files/exists');

/** Server to client, without an answer: findings, margins and masses have settled after a change. */
export const settledMessage = message<Record<string, never>, void>('gusset/settled');

/** Server to client, without an answer: margins and statuses are those of the texts; not all findings may be yet. */
export const judgedMessage = message<Record<string, never>, void>('gusset/judged');

/** Client to server, without an answer: settings that changed since the start. */
export const settingsMessage = message<ClientOptions, void>('gusset/settings');
