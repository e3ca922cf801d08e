/** A broken invariant of ours, never a mistake in the engineer's text. */
export class Bug extends Error {
  override readonly name = 'Bug';
}

/** Stops because an invariant does not hold. The barrier above turns it into a finding and a log line. */
export function bug(message: string): never {
  throw new Bug(message);
}
