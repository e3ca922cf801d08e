/** What a fuzz property is, and the texts and the chance that all of them draw on. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** One property; the files `tests/fuzz/properties/NAME.ts` export one each. */
export interface Property {
  readonly name: string;
  /** How many cases the suite runs, where not as many as of the others. */
  readonly share?: number;
  /** One random case. What it returns is a case that fails, and why; undefined where the property holds. */
  check(random: Random): Promise<Failure | undefined>;
}

/** All of them, by name. */
export async function properties(): Promise<readonly Property[]> {
  const names = readdirSync('tests/fuzz/properties').map(file => file.replace(/\.ts$/, ''));
  const modules = names.sort().map(name => import(`./properties/${name}.ts`) as Promise<{ default: Property }>);
  return (await Promise.all(modules)).map(module => module.default);
}

export interface Failure {
  /** What was wrong, in one line. */
  readonly reason: string;
  /** The texts of the case, by path: kept as a fixture. */
  readonly files: Readonly<Record<string, string>>;
}

/** Chance from a seed: the same seed gives the same cases. */
export class Random {
  constructor(private state: number) {}

  /** Below 1. */
  next(): number {
    // The generator called mulberry32.
    this.state = (this.state + 0x6d2b79f5) | 0;
    let t = Math.imul(this.state ^ (this.state >>> 15), 1 | this.state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  }

  below(limit: number): number {
    return Math.floor(this.next() * limit);
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** True in that share of cases. */
  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(list: readonly T[]): T {
    return list[this.below(list.length)]!;
  }
}

/** Every text in the language that the project holds: sources, and examples in its pages. */
export function fixtureTexts(): readonly string[] {
  const texts = ['tests', 'examples', 'server/library', 'docs']
    .flatMap(folder => readdirSync(folder, { recursive: true, encoding: 'utf8' }).map(path => join(folder, path)))
    .filter(path => /\.(gus|md)$/.test(path) && statSync(path).isFile())
    .sort()
    .map(path => [path, readFileSync(path, 'utf8')] as const);
  return texts.flatMap(([path, text]) =>
    path.endsWith('.gus')
      ? [text]
      : [...text.matchAll(/^```gusset[^\n]*\n([^]*?)^```/gm)].map(([, example]) => example!),
  );
}
