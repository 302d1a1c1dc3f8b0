import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { checkPack, ProvenPlans } from '@ferrule/check';
import { copyPack } from '../copy-pack.ts';
import { type Defect, edited, shortcomings } from './defect.ts';

/** A copy of a pack in which one defect after another is made and mended. */
export class Copy {
  readonly #scratch = mkdtempSync(join(tmpdir(), 'ferrule-defects-'));
  readonly #folder: string;
  readonly #sound: ReadonlyMap<string, string>;
  /** A mistake in one variant, in a trial or in a declaration leaves other plans as they were. */
  readonly #proven = new ProvenPlans();

  constructor(pack: string) {
    this.#folder = copyPack(pack, this.#scratch);
    const files = readdirSync(this.#folder, { recursive: true, encoding: 'utf8' });
    this.#sound = new Map(
      files
        .filter((name) => name.endsWith('.yaml'))
        .map((name) => [name.replaceAll('\\', '/'), readFileSync(join(this.#folder, name), 'utf8')]),
    );
  }

  /** What is wrong with what `check` says of a defect; nothing if its author is told what they must be told. */
  async judge(defect: Defect, proves: boolean): Promise<readonly string[]> {
    let texts = this.#sound;
    for (const edit of defect.patch) texts = edited(texts, edit);
    this.#turn(this.#sound, texts);
    try {
      const { diagnostics } = await checkPack(this.#folder, {
        withTrials: defect.finds === 'failed-trial',
        withoutProof: !proves,
        proven: this.#proven,
      });
      return shortcomings(defect, diagnostics, texts);
    } finally {
      this.#turn(texts, this.#sound);
    }
  }

  #turn(now: ReadonlyMap<string, string>, next: ReadonlyMap<string, string>): void {
    for (const name of now.keys()) if (!next.has(name)) rmSync(join(this.#folder, name));
    for (const [name, text] of next) {
      if (now.get(name) === text) continue;
      mkdirSync(dirname(join(this.#folder, name)), { recursive: true });
      writeFileSync(join(this.#folder, name), text);
    }
  }

  remove(): void {
    rmSync(this.#scratch, { recursive: true, force: true });
  }
}
