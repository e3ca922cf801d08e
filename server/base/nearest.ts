/** Names that are compared letter by letter, and the longest that are: thousands may be misspelt at once. */
const MOST_COMPARED = 300;
const LONGEST_COMPARED = 64;

/**
 * The known name with the fewest slips, the first by letters of several; null when none is near. Of very many, one end
 * has to be right.
 */
export function nearest(name: string, known: Iterable<string>): string | null {
  let best: string | null = null;
  let bestDistance = Math.max(1, Math.floor(name.length / 3)) + 0.5;
  for (const candidate of alike(name, known)) {
    const distance =
      candidate.toLowerCase() === name.toLowerCase()
        ? 0.5
        : bestDistance <= 1.5
          ? oneSlipApart(name, candidate)
            ? 1
            : Infinity
          : editDistance(name, candidate);
    if (distance < bestDistance || (distance === bestDistance && best !== null && candidate < best))
      [best, bestDistance] = [candidate, distance];
  }
  return best;
}

function alike(name: string, known: Iterable<string>): readonly string[] {
  const found: string[] = [];
  if (name.length > LONGEST_COMPARED) return found;
  for (const candidate of known)
    if (Math.abs(candidate.length - name.length) <= 2 && candidate !== name) found.push(candidate);
  if (found.length <= MOST_COMPARED) return found;
  const [head, tail] = [name.slice(0, 2), name.slice(-2)];
  return found
    .filter(each => each.startsWith(head) || each.endsWith(tail))
    .sort()
    .slice(0, MOST_COMPARED);
}

/** Whether one letter inserted, removed, replaced or swapped with its neighbour turns `x` into `y`. */
function oneSlipApart(x: string, y: string): boolean {
  let start = 0;
  while (start < x.length && start < y.length && x[start] === y[start]) start++;
  let [endX, endY] = [x.length, y.length];
  while (endX > start && endY > start && x[endX - 1] === y[endY - 1]) {
    endX--;
    endY--;
  }
  const [left, right] = [endX - start, endY - start];
  if (left <= 1 && right <= 1) return true;
  return left === 2 && right === 2 && x[start] === y[start + 1] && x[start + 1] === y[start];
}

/** Letters to insert, remove, replace, or swap with their neighbour. */
export function editDistance(x: string, y: string): number {
  let before: number[] = [];
  let previous = Array.from({ length: y.length + 1 }, (_, j) => j);
  for (let i = 1; i <= x.length; i++) {
    const row = [i];
    for (let j = 1; j <= y.length; j++) {
      row[j] = Math.min(previous[j]! + 1, row[j - 1]! + 1, previous[j - 1]! + (x[i - 1] === y[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && x[i - 1] === y[j - 2] && x[i - 2] === y[j - 1])
        row[j] = Math.min(row[j]!, before[j - 2]! + 1);
    }
    before = previous;
    previous = row;
  }
  return previous[y.length]!;
}
