import type { Digest } from './digest.ts';
import type { Envelope } from './envelope.ts';
import { sign } from './envelope.ts';
import { isKeyId, type KeyId } from './key-id.ts';
import type { PrivateKey } from './private-key.ts';

/** The version of the statement of a release that this package writes; reading refuses any other. */
export const releaseFormat = 'ferrule-release-1';

/** The type under which releases are signed. */
export const releaseType = 'application/vnd.ferrule.release+json';

/** The file of a release, in the folder that it is about. */
export const releaseFile = 'release.json';

/** What a release is of. */
export type Released = 'pack' | 'library' | 'overlay';

/** What the signatures of a release stand for. */
export interface ReleaseStatement {
  readonly format: typeof releaseFormat;
  readonly of: Released;
  readonly name: string;
  readonly revision: string;
  /** Digest of its bundle: of a pack with what it takes from its libraries. */
  readonly digest: Digest;
  /** Every file of the folder, with the digest of its bytes. */
  readonly files: Readonly<Record<string, Digest>>;
  /** The libraries that it was resolved with. */
  readonly libraries: readonly {
    readonly name: string;
    readonly revision: string;
    readonly digest: Digest;
  }[];
  readonly author: KeyId;
  /** When the author signed, by the author's own clock. */
  readonly at: string;
}

/** The release of a folder, signed by its author. */
export const signRelease = (
  statement: Omit<ReleaseStatement, 'format' | 'author'>,
  key: PrivateKey,
): Envelope => sign(releaseType, { ...statement, format: releaseFormat, author: key.id }, [key]);

const isDigest = (value: unknown): value is Digest =>
  typeof value === 'string' && /^sha256:[0-9a-f]{64}$/.test(value);
const isMap = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const kinds: ReadonlySet<unknown> = new Set<Released>(['pack', 'library', 'overlay']);
const isReleased = (value: unknown): value is Released => kinds.has(value);

/** The statement that a signed payload is; undefined where it is none of this version. */
export function releaseStatementOf(payload: unknown): ReleaseStatement | undefined {
  if (!isMap(payload) || payload['format'] !== releaseFormat) return undefined;
  const { of, name, revision, digest, files, libraries, author, at } = payload;
  if (!isReleased(of) || typeof name !== 'string' || typeof revision !== 'string' || typeof at !== 'string')
    return undefined;
  if (
    !isDigest(digest) ||
    typeof author !== 'string' ||
    !isKeyId(author) ||
    !isMap(files) ||
    !Array.isArray(libraries)
  )
    return undefined;
  const listed = Object.entries(files).flatMap(([path, bytes]) =>
    isDigest(bytes) ? [[path, bytes] as const] : [],
  );
  const pinned = libraries.flatMap((one: unknown) => {
    if (!isMap(one)) return [];
    const { name: library, revision: which, digest: what } = one;
    return typeof library === 'string' && typeof which === 'string' && isDigest(what)
      ? [{ name: library, revision: which, digest: what }]
      : [];
  });
  if (listed.length !== Object.keys(files).length || pinned.length !== libraries.length) return undefined;
  return {
    ...{ format: releaseFormat, of, name, revision, digest, author, at },
    // A map of a file name such as __proto__ must stay a map.
    files: Object.fromEntries(listed),
    libraries: pinned,
  };
}
