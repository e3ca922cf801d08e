import { Command } from 'commander';
import { pageOf, RULES } from '../../findings/index.js';
import { UnusableInput } from '../outcome.js';
import { print } from '../terminal.js';

export default new Command('explain')
  .description('what a finding means and how to mend it')
  .argument('[code]', 'code of the finding; without it, all codes are listed')
  .action((code: string | undefined) => {
    if (code === undefined) {
      const width = Math.max(...[...RULES.keys()].map(key => key.length));
      print(
        [...RULES.values()]
          .map(rule => `${rule.code.padEnd(width)}  ${rule.severity.padEnd(11)}  ${rule.title}\n`)
          .join(''),
      );
      return;
    }
    const page = pageOf(code);
    if (page === undefined) throw new UnusableInput(`There is no finding ${code}. \`gusset explain\` lists all codes.`);
    print(page.endsWith('\n') ? page : `${page}\n`);
  });
