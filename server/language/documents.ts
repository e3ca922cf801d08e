/** What `source` may name. */
export const DOCUMENTS = ['document', 'evidence', 'results', 'table', 'assume'] as const;
