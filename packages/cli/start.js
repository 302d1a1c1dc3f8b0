// `npm start`: makes the checkout ready, then shows the page with jobs that are half done.
import { prepare } from './prepare.js';

await prepare();
process.argv.splice(2, 0, 'start');
await import('./dist/ferrule.js');
