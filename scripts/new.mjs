// `npm run new KIND NAME`, or `npm run new finding TOPIC/NAME`: the files of a new formula, finding, feature or
// command, or the row of a new statement, from the templates beside.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { generate } from './generate.mjs';
import { isStarted, root } from './files.mjs';

/** Per kind, where each file goes and the template it is made from; or before which line of a file its text goes. */
const kinds = {
  command: [{ to: 'server/cli/commands/{{name}}.ts', template: 'command.ts.txt' }],
  feature: [{ to: 'server/features/catalogue/{{name}}.ts', template: 'feature.ts.txt' }],
  finding: [
    { to: 'server/findings/catalogue/{{topic}}/{{name}}.ts', template: 'finding.ts.txt' },
    { to: 'docs/findings/{{topic}}/{{name}}.md', template: 'finding.md.txt' },
  ],
  formula: [{ to: 'server/library/{{name}}.gus', template: 'formula.gus.txt' }],
  statement: [
    { to: 'server/language/statements.ts', template: 'statement.ts.txt', before: '} as const satisfies Readonly' },
  ],
};

/** The files of something new, with their contents; or why there are none. */
export function filesOf(kind, asked = '') {
  if (!(kind in kinds)) return `Usage: npm run new KIND NAME, where KIND is one of ${Object.keys(kinds).join(', ')}.`;
  const [, topic, name] = /^(?:([a-z]+)\/)?([^/]*)$/.exec(asked) ?? [undefined, undefined, asked];
  if (!/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(name)) return `The name "${name}" is not of the form lower-case-words.`;
  if (kind === 'finding' && !topic)
    return `A finding stands in a folder by its topic: npm run new finding TOPIC/${name}, where docs/findings has the topics.`;
  if (kind === 'statement' && name.includes('-')) return `A statement begins with one word: ${name} has several.`;
  const files = kinds[kind].map(({ to, template, before }) => {
    const text = fill(readFileSync(join(root, 'scripts/templates', template), 'utf8'), name, topic);
    return { path: fill(to, name, topic), text, before };
  });
  const existing = files.find(({ path, before }) => !before && existsSync(join(root, path)));
  if (existing) return `${existing.path} exists already.`;
  return files.map(({ path, text, before }) => ({ path, text: before ? inserted(path, text, before) : text }));
}

function inserted(path, text, before) {
  const whole = readFileSync(join(root, path), 'utf8');
  const at = whole.indexOf(before);
  return whole.slice(0, at) + text + whole.slice(at);
}

function fill(text, name, topic) {
  const identifier = name.replaceAll('-', '_');
  const capital = name.replaceAll(/(^|-)(\w)/g, (_, __, letter) => letter.toUpperCase());
  return text
    .replaceAll('{{name}}', name)
    .replaceAll('{{topic}}', topic)
    .replaceAll('{{identifier}}', identifier)
    .replaceAll('{{Identifier}}', capital);
}

if (isStarted(import.meta.filename)) {
  const files = filesOf(...process.argv.slice(2, 4));
  if (typeof files === 'string') {
    console.error(files);
    process.exitCode = 2;
  } else {
    for (const { path, text } of files) {
      mkdirSync(dirname(join(root, path)), { recursive: true });
      writeFileSync(join(root, path), text);
      console.log(`Written: ${path}`);
    }
    await generate({ quiet: true });
  }
}
