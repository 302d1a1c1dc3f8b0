export { canonical } from './canonical.ts';
export { type Digest, digestOf } from './digest.ts';
