import { program } from 'commander';

program.name('ferrule').version('0.1.0').parse();
