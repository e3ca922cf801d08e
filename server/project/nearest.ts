/** The candidate most like `word`, letter case aside; undefined where none is near enough to be meant. */
export function nearest(word: string, candidates: readonly string[]): string | undefined {
  const wanted = word.toLowerCase();
  const allowed = Math.max(1, Math.floor(wanted.length / 3));
  let best: { candidate: string; distance: number } | undefined;
  for (const candidate of candidates) {
    const distance = editDistance(wanted, candidate.toLowerCase());
    if (distance <= allowed && (best === undefined || distance < best.distance)) best = { candidate, distance };
  }
  return best?.candidate;
}

/** Letters to insert, remove or replace (Levenshtein). */
function editDistance(from: string, to: string): number {
  let previous = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (let row = 1; row <= from.length; row++) {
    const current = [row];
    for (let column = 1; column <= to.length; column++) {
      const replaced = previous[column - 1] + (from[row - 1] === to[column - 1] ? 0 : 1);
      current.push(Math.min(replaced, previous[column] + 1, current[column - 1] + 1));
    }
    previous = current;
  }
  return previous[to.length];
}
