// The check against the written format stands apart: a page that gets its bundles from a server which has checked them
// need not carry it.
export { type Validated, validate, validateOverlay } from './model/validate.ts';
