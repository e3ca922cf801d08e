/** What the pages of the reference ask of the editor around them. */
export type FromReference =
  /** A page by its path in the site, with its fragment. */
  { readonly kind: 'open'; readonly url: string } | { readonly kind: 'back' };

/** What a page leaves for the time when the window is loaded anew. */
export interface ReferenceState {
  readonly url: string;
}
