import type { Digest } from '@ferrule/signing';
import { decodeText } from './decode-text.ts';
import type { ReadFile } from './merge-pack.ts';
import { type Budget, readYaml } from './read-yaml.ts';

/** What a file came to, where it stands, and what reading it took from what a pack may use. */
interface Known {
  readonly reading: Omit<ReadFile, 'path'>;
  readonly took: Readonly<Record<'values' | 'indicators' | 'repeatedCharacters', number>>;
}

/**
 * What files came to that were read before. Two revisions of a pack have most of their files alike, and take from the same
 * libraries: given to both readings, this parses such a file once. A file is known by the path that is shown for it and the digest
 * of its bytes, so what stands where is the same, too.
 */
export class FileReadings {
  readonly #known = new Map<string, Known>();

  /** Reads a file, or takes what it came to; the same faults either way, and the same is taken from the budget. */
  read(path: string, digest: Digest, content: Uint8Array | string, budget: Budget): Omit<ReadFile, 'path'> {
    const key = `${digest} ${path}`;
    const known = this.#known.get(key);
    if (known !== undefined && isEnough(budget, known.took)) {
      budget.values -= known.took.values;
      budget.indicators -= known.took.indicators;
      budget.repeatedCharacters -= known.took.repeatedCharacters;
      return known.reading;
    }
    const before = { ...budget };
    const decoded = decodeText(path, content);
    const reading = 'fault' in decoded ? { faults: [decoded.fault] } : readYaml(decoded.source, budget);
    // A text is not its bytes where it holds half a character.
    if (!budget.spent && typeof content !== 'string')
      this.#known.set(key, {
        reading,
        took: {
          values: before.values - budget.values,
          indicators: before.indicators - budget.indicators,
          repeatedCharacters: before.repeatedCharacters - budget.repeatedCharacters,
        },
      });
    return reading;
  }
}

const isEnough = (budget: Budget, took: Known['took']): boolean =>
  !budget.spent &&
  budget.values >= took.values &&
  budget.indicators >= took.indicators &&
  budget.repeatedCharacters >= took.repeatedCharacters;
