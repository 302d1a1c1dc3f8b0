// Before any test of a run: what is built is what the sources say.
export { prepare as default } from '../packages/cli/prepare.js';
