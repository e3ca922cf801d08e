// The documentation as a static site in out/docs.
import { runBundled } from './bundled.mjs';

await runBundled('site/main.ts', 'docs-builder');
