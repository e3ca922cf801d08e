// The benchmarks.
import { runBundled } from './bundled.mjs';

await runBundled('tests/bench/main.ts', 'bench', ['--expose-gc']);
