export * from './bug.js';
export * from './calendar.js';
export * from './cancellation.js';
export * from './hash.js';
export * from './lists.js';
export * from './rational.js';
export * from './span.js';
export * from './nearest.js';
