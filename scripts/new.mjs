// `npm run new KIND NAME`: the files of a new formula, finding, feature or command, from the templates beside.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { generate } from './generate.mjs';
import { root } from './files.mjs';

/** Per kind, where each file goes and the template it is made from; `{{name}}` stands for the name in both. */
const kinds = {
  command: [{ to: 'server/cli/commands/{{name}}.ts', template: 'command.ts.txt' }],
};

const [kind, name] = process.argv.slice(2);
const problem = problemWith(kind, name);
if (problem) {
  console.error(problem);
  process.exitCode = 2;
} else {
  for (const { to, template } of kinds[kind])
    write(fill(to), fill(readFileSync(join(root, 'scripts/templates', template), 'utf8')));
  await generate({ quiet: true });
}

function problemWith(kind, name) {
  if (!(kind in kinds)) return `Usage: npm run new KIND NAME, where KIND is one of ${Object.keys(kinds).join(', ')}.`;
  if (!/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(name ?? ''))
    return `The name "${name ?? ''}" is not of the form lower-case-words.`;
  const existing = kinds[kind].map(({ to }) => fill(to)).find(path => existsSync(join(root, path)));
  return existing && `${existing} exists already.`;
}

function fill(text) {
  return text.replaceAll('{{name}}', name);
}

function write(path, content) {
  mkdirSync(dirname(join(root, path)), { recursive: true });
  writeFileSync(join(root, path), content);
  console.log(`Written: ${path}`);
}
