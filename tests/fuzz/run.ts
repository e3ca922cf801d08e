/** Runs the properties for a time, from a seed that is told; failing cases are written down, the rest counted. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { properties, Random, type Failure, type Property } from './property.js';

const MOST_FAILURES = 20;

const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '1' },
    only: { type: 'string', multiple: true },
    seed: { type: 'string' },
  },
});
const all = await properties();
const wanted = all.filter(({ name }) => values.only?.includes(name) ?? true);
const minutes = Number(values.minutes);
if (wanted.length === 0 || !(minutes > 0)) {
  console.error(`Ask for --minutes above 0, and --only of ${all.map(({ name }) => name).join(', ')}.`);
  process.exit(2);
}
const seed = Number(values.seed ?? Date.now() % 2 ** 31);
const report: Record<string, { cases: number; failures: number }> = {};
for (const property of wanted) report[property.name] = await run(property, (minutes * 60_000) / wanted.length);
console.log(JSON.stringify({ seed, ...report }, null, 2));
process.exitCode = Object.values(report).some(({ failures }) => failures > 0) ? 1 : 0;

async function run(property: Property, milliseconds: number): Promise<{ cases: number; failures: number }> {
  const end = performance.now() + milliseconds;
  const reasons = new Set<string>();
  let cases = 0;
  for (; performance.now() < end && reasons.size < MOST_FAILURES; cases++) {
    const failure = await property.check(new Random(seed + cases));
    // The same defect shows itself in many texts.
    const reason = failure?.reason.replace(/\d+/g, '0');
    if (!failure || reasons.has(reason!)) continue;
    reasons.add(reason!);
    console.error(`${property.name} ${cases}: ${failure.reason}\n  ${write(property.name, cases, failure)}`);
  }
  return { cases, failures: reasons.size };
}

function write(name: string, number: number, { files }: Failure): string {
  const folder = `out/fuzz/${name}-${seed}-${number}`;
  mkdirSync(folder, { recursive: true });
  for (const [path, text] of Object.entries(files)) writeFileSync(`${folder}/${path}`, text);
  return folder;
}
