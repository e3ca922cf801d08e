export type { BlockWord, FieldRow, FieldType } from './block-rows.js';
export * from './blocks.js';
export * from './choices.js';
export * from './clauses.js';
export * from './documents.js';
export * from './functions.js';
export type { WordRow } from './row.js';
export * from './statements.js';
export * from './words.js';
