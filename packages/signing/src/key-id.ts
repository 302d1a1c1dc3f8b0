/** A public Ed25519 key as text: `ed25519:` and its 32 bytes as 64 lower-case hexadecimal digits. The name is the key. */
export type KeyId = `ed25519:${string}`;

const KEY_ID = /^ed25519:[0-9a-f]{64}$/;

/** Whether a text is a key id in its one form. */
export const isKeyId = (text: string): text is KeyId => KEY_ID.test(text);

/** A key id for a line that a person reads: its first 16 digits. Two keys are never compared by it. */
export const shortKeyId = (id: KeyId): string => `${id.slice(0, 'ed25519:'.length + 16)}…`;
