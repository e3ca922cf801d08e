import { test } from 'vitest';
import { openScenario, scenariosBelow } from '../support/fixture.js';
import { inputsOf, violations } from '../properties/provenance.js';
test('one', () => {
    const project = openScenario(scenariosBelow('/work/evidence/examples')[1]!);
    const inputs = inputsOf(project);
    const t0 = performance.now(); let n = 0; const by = new Map<string, string[]>(); const slow: string[] = [];
    for (const [i, input] of inputs.entries()) {
      if (i % 2) continue;
      const t = performance.now();
      const bad = violations(project, input); n++;
      const took = performance.now() - t; if (took > 3000) slow.push(`${input.name} ${Math.round(took)}`);
      for (const b of bad) { const k = b.replace(/^\S+ \S+ /, ''); by.set(k, [...(by.get(k) ?? []), b.split(' moves')[0]!]); }
      if (performance.now() - t0 > 240000) break;
    }
    console.log(n, inputs.length, slow.join('; '));
    for (const [k, v] of [...by].slice(0, 100)) console.log(k, '::', v.slice(0, 6).join(', '), v.length);
}, 600000);
