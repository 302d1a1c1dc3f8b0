import type { Diagnostic, DiagnosticCode } from '@ferrule/engine';
import { canonical, type Digest, digestOf } from '@ferrule/signing';
import { limits } from './limits.ts';
import { isForbiddenKey } from './read-yaml.ts';

/** The version of the bundle form that this package writes; reading refuses any other. */
export const bundleFormat = 'ferrule-bundle-1';

export interface Bundle {
  /** Canonical JSON (RFC 8785): `{"document":…,"format":"ferrule-bundle-1"}`. */
  readonly text: string;
  /** The digest of that text as UTF-8, by which jobs and releases know the pack. */
  readonly digest: Digest;
}

/** A document frozen into one text and its digest. Throws a TypeError when the document is not JSON. */
export function bundleOf(document: unknown): Bundle {
  const text = canonical({ format: bundleFormat, document });
  return { text, digest: digestOf(text) };
}

export type BundleReading =
  | { readonly document: unknown; readonly digest: Digest; readonly diagnostics: readonly [] }
  | {
      readonly document?: undefined;
      readonly digest?: undefined;
      readonly diagnostics: readonly [Diagnostic];
    };

/** Whether brackets outside texts nest more than `most` deep; JSON.parse and what follows it recurse on them. */
function nestsDeeper(text: string, most: number): boolean {
  let depth = 0;
  let inText = false;
  for (let at = 0; at < text.length; at++) {
    const character = text[at];
    if (inText) {
      if (character === '\\') at++;
      else if (character === '"') inText = false;
    } else if (character === '"') inText = true;
    else if (character === '[' || character === '{') {
      if (++depth > most) return true;
    } else if (character === ']' || character === '}') depth--;
  }
  return false;
}

function forbiddenKeyIn(value: unknown): string | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  for (const [key, item] of Object.entries(value)) {
    const found = !Array.isArray(value) && isForbiddenKey(key) ? key : forbiddenKeyIn(item);
    if (found !== undefined) return found;
  }
  return undefined;
}

/**
 * The document of a bundle text. The text has to be exactly what `bundleOf` writes: any other order, spacing,
 * number form or escape, and any key written twice, is refused, so that one document has one text and one digest.
 */
export function readBundle(text: string): BundleReading {
  const refuse = (code: DiagnosticCode, message: string, remedy: string): BundleReading => ({
    diagnostics: [{ code, severity: 'error', pointer: '', message, remedy }],
  });
  const again = 'Make the bundle again from its pack.';
  const other = 'Name the folder of a pack, or the file of a bundle as a store keeps it.';
  if (text.length > limits.packBytes)
    return refuse('too-large', 'The bundle is too large to be read.', again);
  // The frame, a section and an id stand around what a file nests; the rest is room for what resolving adds.
  if (nestsDeeper(text, limits.depth + 8)) return refuse('too-deep', 'The bundle nests too deeply.', again);
  let value: unknown;
  let same: boolean;
  try {
    value = JSON.parse(text);
    same = canonical(value) === text;
  } catch (error) {
    // JSON.parse throws a SyntaxError; canonical a TypeError for half a character in a text.
    if (!(error instanceof SyntaxError || error instanceof TypeError)) throw error;
    return refuse('bundle-syntax', 'This is no bundle: it is not JSON.', other);
  }
  if (typeof value !== 'object' || value === null || !('format' in value && 'document' in value)) {
    return refuse('bundle-format', 'This JSON is not a bundle.', other);
  }
  if (!same) return refuse('bundle-syntax', 'The bundle is not in canonical form: it was altered.', again);
  if (value.format !== bundleFormat || Object.keys(value).length !== 2) {
    return refuse('bundle-format', `The bundle is not of the format ${bundleFormat}.`, again);
  }
  const forbidden = forbiddenKeyIn(value.document);
  if (forbidden !== undefined) return refuse('forbidden-key', `The key ${forbidden} is reserved.`, again);
  return { document: value.document, digest: digestOf(text), diagnostics: [] };
}
