/** What is solved for: by how much loads may grow, and where a function has a zero. */

const LARGEST_RESERVE = 1e12;

/**
 * The factor on the loads at which the condition first fails, counted from none: `f(k)` is at least zero where it
 * holds.
 * Fails at 0 → 0. Holds beyond the largest → Infinity (unbounded). A dip between the factors that are tried is found by
 * the proof of what is asked of it.
 */
export function reserve(f: (k: number) => number): number {
  const atRest = f(0);
  if (atRest !== atRest) return NaN;
  if (atRest < 0) return 0;
  let [low, atLow] = [0, atRest];
  for (let k = 1 / 16; k <= LARGEST_RESERVE; k *= k < 16 ? 1.15 : 2) {
    const here = f(k);
    if (here !== here) return NaN;
    if (here < 0) return crossing(f, low, atLow, k, here);
    [low, atLow] = [k, here];
  }
  return Infinity;
}

/** The zero of `f` between `low` and `high`; NaN where its signs there do not differ. */
export function root(f: (x: number) => number, low: number, high: number): number {
  const atLow = f(low);
  const atHigh = f(high);
  if (atLow === 0) return low;
  if (atHigh === 0) return high;
  if (!(atLow * atHigh < 0)) return NaN;
  return atLow > 0 ? crossing(f, low, atLow, high, atHigh) : crossing(x => -f(x), low, -atLow, high, -atHigh);
}

/**
 * Where `f` falls below zero between `low` (at least zero) and `high` (below): false position, halving where that
 * stalls.
 */
function crossing(f: (x: number) => number, low: number, atLow: number, high: number, atHigh: number): number {
  let [weightLow, weightHigh] = [atLow, atHigh];
  for (let i = 0; i < 200; i++) {
    const middle = low + (high - low) / 2;
    if (middle === low || middle === high || high - low <= 1e-15 * high) break;
    const guess = i % 3 === 2 ? middle : low + (high - low) * (weightLow / (weightLow - weightHigh));
    const x = guess > low && guess < high ? guess : middle;
    const here = f(x);
    if (here >= 0) {
      low = x;
      weightLow = here;
      if (here === 0) break;
      weightHigh /= 2;
    } else {
      high = x;
      weightHigh = here;
      weightLow /= 2;
    }
  }
  return low;
}
