// The tables of the language, which are TypeScript, for what is made from them.
import { build } from 'esbuild';
import { root } from './files.mjs';

export async function language() {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: ['server/language/index.ts'],
    bundle: true,
    format: 'esm',
    write: false,
  });
  return import(`data:text/javascript,${encodeURIComponent(outputFiles[0].text)}`);
}

/** The rules of the grammar that stand in the rows of statements and suffixes, as a part of the grammar. */
export function rowsGrammar({ STATEMENTS, SUFFIXES }) {
  const rules = rows => Object.values(rows).filter(({ rule }) => rule);
  const union = rows =>
    rules(rows)
      .map(({ node }) => node)
      .join(' | ');
  return [
    '// Made from the rows of server/language.',
    ...['declarations', 'expressions', 'requirements', 'tokens'].map(file => `import '../${file}'`),
    '',
    `WordStatement: ${union(STATEMENTS)};`,
    ...rules(STATEMENTS).map(({ node, rule }) => `${node}: ${rule};`),
    '',
    `WordSuffix: ${union(SUFFIXES)};`,
    ...rules(SUFFIXES).map(({ node, rule }) => `${node}: ${rule};`),
    '',
  ].join('\n');
}
