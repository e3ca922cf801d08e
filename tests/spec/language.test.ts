import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkScenario } from '../support/fixture.js';

/**
 * Examples of the reference: each `gusset` block is a project of its own, with the `csv` blocks before it as its data
 * files.
 */
function examples(markdown: string): { heading: string; text: string; files: Map<string, Uint8Array> }[] {
  const found: ReturnType<typeof examples> = [];
  let heading = '';
  let files = new Map<string, Uint8Array>();
  for (const match of markdown.matchAll(/^#+ (.*)$|^```(gusset|csv (\S+))\n([\s\S]*?)^```$/gm)) {
    if (match[1] !== undefined) heading = match[1];
    else if (match[3] !== undefined) files.set(match[3], new TextEncoder().encode(match[4]));
    else {
      found.push({ heading, text: match[4]!, files });
      files = new Map();
    }
  }
  return found;
}

describe('docs/language.md', () => {
  const all = examples(readFileSync('docs/language.md', 'utf8'));
  test('has examples', () => expect(all.length).toBeGreaterThan(15));
  test.each(all.map((example, i) => [`${i + 1}. ${example.heading}`, example] as const))('%s', (_, example) => {
    const files = new Map([...example.files, ['example.gus', new TextEncoder().encode(example.text)] as const]);
    const mismatches = checkScenario({ name: example.heading, files, sources: ['example.gus'] });
    expect(mismatches.map(({ line, message }) => `line ${line}: ${message}`)).toEqual([]);
  });
});
