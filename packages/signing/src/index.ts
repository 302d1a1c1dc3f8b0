export { canonical } from './canonical.ts';
export { type Digest, digestOf } from './digest.ts';
export {
  addSignature,
  type Envelope,
  type EnvelopeFault,
  type EnvelopeReading,
  readEnvelope,
  sign,
  verifyEnvelope,
  writeEnvelope,
} from './envelope.ts';
export { type FileTrouble, fileTrouble, notMade, notRead, notWritten } from './file-trouble.ts';
export { type KeyFile, makeKeyFile, readPrivateKey, readPublicKey } from './key-file.ts';
export { isKeyId, type KeyId, shortKeyId } from './key-id.ts';
export { pae } from './pae.ts';
export {
  areTwoPersons,
  isPattern,
  jobKeys,
  type Policy,
  type PolicyKey,
  type PolicyRule,
  policyFormat,
  policyKeyOf,
  ruleFor,
} from './policy.ts';
export { makeKeyPair, PrivateKey, parsePrivateKey } from './private-key.ts';
export { type PublicKey, parsePublicKey } from './public-key.ts';
export {
  type ReleaseRecord,
  type ReleaseState,
  releaseRecord,
  releaseState,
  releaseWords,
  type Signer,
  unsigned,
} from './release-state.ts';
export {
  type Released,
  type ReleaseStatement,
  releaseFile,
  releaseFormat,
  releaseType,
  signRelease,
} from './release-statement.ts';
