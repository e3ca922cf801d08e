import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';

const below = (folder: string) => readdirSync(folder).map(name => `${folder}/${name}`);
const pages = ['README.md', 'DEVELOPERS.md', ...below('docs'), ...below('docs/how-to'), ...below('docs/editors')];

test.each(pages.filter(page => page.endsWith('.md')))('every link of %s leads somewhere', page => {
  const links = [...readFileSync(page, 'utf8').matchAll(/\]\(([^):\s]+)\)/g)].map(([, target]) => target!);
  expect(links.filter(link => !leadsSomewhere(page, link))).toEqual([]);
});

function leadsSomewhere(page: string, link: string): boolean {
  const [path, heading] = link.split('#');
  const file = path === '' ? page : join(dirname(page), path!);
  return existsSync(file) && (heading === undefined || headingsOf(file).includes(heading));
}

function headingsOf(file: string): string[] {
  return [...readFileSync(file, 'utf8').matchAll(/^#+ (.*)$/gm)].map(([, heading]) =>
    heading!
      .toLowerCase()
      .replace(/[^\w\s-]/g, '')
      .replaceAll(' ', '-'),
  );
}
