export { type Bundle, type BundleReading, bundleFormat, bundleOf, readBundle } from './bundle.ts';
export { FileReadings } from './file-readings.ts';
export { limits } from './limits.ts';
export { pointerOf, tokensOf } from './pointer.ts';
export type { Positions } from './positions.ts';
export { changelogFile, readChangelog } from './read-changelog.ts';
export type { PackFile } from './read-files.ts';
export { type Neighbours, readNeighbours } from './read-neighbours.ts';
export { type OverlayHead, readOverlayHead } from './read-overlay-head.ts';
export { readPack } from './read-pack.ts';
export { readPackFromFiles } from './read-pack-from-files.ts';
export { type PolicyReading, policyBeside, policyFile, readPolicy, readPolicyFile } from './read-policy.ts';
export {
  manifestIn,
  notReleasable,
  privateKeysIn,
  type Releasable,
  readReleasable,
} from './read-releasable.ts';
export type { SourceList, SourceMapping, SourceValue } from './source-value.ts';
export { type PackReading, strayKeys, whatLibrariesHold } from './take-libraries.ts';
