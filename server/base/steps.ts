/** Does all that is to be done in steps. */
export function finish(steps: Iterable<void>): void {
  for (const step of steps) void step;
}
