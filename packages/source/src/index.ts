export { type Bundle, type BundleReading, bundleFormat, bundleOf, readBundle } from './bundle.ts';
export { limits } from './limits.ts';
export { pointerOf, tokensOf } from './pointer.ts';
export type { Positions } from './positions.ts';
export { readPack } from './read-pack.ts';
export { type PackFile, type PackReading, readPackFromFiles } from './read-pack-from-files.ts';
export type { SourceList, SourceMapping, SourceValue } from './source-value.ts';
