/**
 * Projects of any size for the benchmarks. Deterministic: the same size gives the same text. A part has two lets, two
 * checks over three
 * loads and a table of strength by temperature, as the parts of a real project do; a hundred requirements make a file.
 */

export const REQUIREMENTS_A_FILE = 100;

/** A small linear congruential generator (constants of Numerical Recipes), so that sizes vary but never by chance. */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

const SHARED = `project Bench "Generated project" {
  revision = "A"
  date = 2027-01-01
}
load Liftoff "Lift-off" { axial = 7.5 g0   lateral = 2.8 g0   temperature = 20 degC }
load Cutoff "Stage cut-off" { axial = 9.0 g0   lateral = 1.0 g0   temperature = 30 degC }
load Hoist "Hoisting" { axial = 2.0 g0   lateral = 0.5 g0   temperature = 15 degC }
let Cases = [Liftoff, Cutoff, Hoist]
lot L-1 of Alloy { received = 2026-10-01 }
factors Flight "Metal, tested" { class = metal   tested = no   level = limit   yield = 1.25   ultimate = 1.4 }
material Alloy "Alloy" {
  class = metal
  density = 2.8 g/cm^3
  E = 71 GPa
  yield = [-55 degC -> 408 MPa, 23 degC -> 393 MPa, 85 degC -> 374 MPa] basis A source "data sheet"
  ultimate = [-55 degC -> 490 MPa, 23 degC -> 469 MPa, 85 degC -> 446 MPa] basis A source "data sheet"
}
`;

/** A project of `count` requirements in files of a hundred; `shared.gus` holds what all of them read. */
export function generateProject(count: number): Record<string, string> {
  const files: Record<string, string> = { 'shared.gus': SHARED };
  for (let first = 0; first < count; first += REQUIREMENTS_A_FILE)
    files[`parts-${String(first / REQUIREMENTS_A_FILE).padStart(4, '0')}.gus`] = generateParts(
      first,
      Math.min(REQUIREMENTS_A_FILE, count - first),
    );
  return files;
}

/** Parts with two requirements each. */
export function generateParts(first: number, count: number): string {
  const next = random(first + 1);
  const lines: string[] = [];
  for (let i = first; i < first + count; i += 2) {
    const [a, b] = [i, i + 1].map(n => String(n).padStart(6, '0'));
    lines.push(
      `part P${a} "Bracket ${i}" {`,
      '  material = Alloy from L-1',
      `  t = ${(3 + 3 * next()).toFixed(1)} mm`,
      `  width = ${(20 + 20 * next()).toFixed(1)} mm`,
      `  span = ${(80 + 80 * next()).toFixed(0)} mm`,
      `  carried = ${(1 + 3 * next()).toFixed(2)} kg`,
      '  let M(L) = carried * L.axial * span / 8',
      '  let stress(L) = 6 * M(L) / (width * t^2)',
      `  requirement STR-${a} "The bracket shall carry every launch case without rupture." {`,
      '    check ultimate for L in Cases: Flight.ultimate * stress(L) <= material.ultimate(L.temperature)',
      '    verify by analysis',
      '  }',
      `  requirement STR-${b} "The bracket shall not bend more than a hundredth of its span." {`,
      '    check deflection for L in Cases: carried * L.lateral * span^3 / (48 * material.E * width * t^3 / 12) <= span / 100',
      '    verify by analysis',
      '  }',
      '}',
      '',
    );
  }
  return lines.join('\n');
}

/** `requirements` checks that together sweep about `rows` rows, all of which read one value. */
export function generateSweeps(requirements: number, rows: number): string {
  const steps = Math.round(rows / requirements / 3);
  const lines = [SHARED, 'let scale = 1.00', ''];
  for (let i = 0; i < requirements; i++) {
    lines.push(
      `part S${i} "Swept ${i}" {`,
      `  width = ${20 + (i % 17)} mm`,
      `  requirement SWP-${i} "It shall hold." {`,
      `    check ultimate for L in Cases, n in 1 .. ${steps}: scale * ${(1 + (i % 7) / 10).toFixed(1)} kg * L.axial * (1 + n / 100) / (width * 1 mm) <= Alloy.yield(L.temperature)`,
      '    verify by analysis',
      '  }',
      '}',
    );
  }
  return lines.join('\n');
}

/** One value and `count` others that read it. */
export function generateFan(count: number): string {
  return [
    'project Fan "Fan" { date = 2027-01-01 }',
    'let input = 1.5 mm',
    ...Array.from({ length: count }, (_, i) => `let d${i} = input * ${i + 2} + 1 mm`),
    '',
  ].join('\n');
}
