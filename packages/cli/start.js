// `npm start`: makes the checkout ready, then shows the demonstration.
import { prepare } from './prepare.js';

await prepare();
process.argv.splice(2, 0, 'demo');
await import('./dist/ferrule.js');
