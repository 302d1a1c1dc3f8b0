// What dist/ferrule.js is made from: runs the command that was bundled beside it.
import { openCommand } from './command-script.js';

await openCommand(new URL('./', import.meta.url)).main();
