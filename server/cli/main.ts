import { Command } from 'commander';
import { version } from '../../package.json';

const program = new Command('gusset').version(version);
await program.parseAsync();
