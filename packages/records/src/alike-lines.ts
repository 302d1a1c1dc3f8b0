import { isAscii } from 'node:buffer';
import type { Fact, FactBody } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { isDigest } from './is-digest.ts';
import { BATCH_END, BATCH_START, type Batch, isFact, readBatch } from './lines.ts';
import { RecentTexts } from './recent-texts.ts';

/** Text of a string without anything that is written with a backslash, taken as Latin 1. */
const PLAIN = String.raw`[ !#-[\]-ÿ]*`;
const DIGEST = 'sha256:[0-9a-f]{64}';
/** A fact as the store writes it, up to its body, and from behind its body to its number. */
const HEAD = new RegExp(
  `\\{(?:"asked":"(${DIGEST})",)?"at":"(${PLAIN})","before":"(${DIGEST})","by":"(${PLAIN})","fact":\\{`,
  'y',
);
const BEHIND_BODY = ',"format":"1","id":"';
const TAIL = new RegExp(`(${PLAIN})","seq":`, 'y');

/** Characters of bodies that are remembered; a workshop's readings on one procedure come to some millions. */
const REMEMBERED = 3_000_000;

/**
 * Reads the lines of very many jobs. What is said in one job is said in the next: the body of each fact is parsed and held
 * against its form once for each text, and every digest is still checked. A line that is not written as the store writes
 * is left to `readBatch`, so the answer is the same. Bodies of equal texts are one and the same object.
 */
export class AlikeLines {
  readonly #bodies: RecentTexts<FactBody>;

  /** `remembered` is how many characters of bodies are remembered, or twice as many. */
  constructor(remembered = REMEMBERED) {
    this.#bodies = new RecentTexts(remembered);
  }

  /** As `readBatch`. */
  readBatch(line: Buffer, before: Digest, seq: number): Batch | { readonly wrong: string } {
    return this.#asWritten(line, before, seq) ?? readBatch(line, before, seq);
  }

  #asWritten(line: Buffer, before: Digest, seq: number): Batch | undefined {
    // One character for each byte, so that places in the text are places in the line.
    const text = line.toString('latin1');
    if (!text.startsWith(BATCH_START)) return undefined;
    const isPlain = isAscii(line);
    const said = (latin: string): string => (isPlain ? latin : Buffer.from(latin, 'latin1').toString('utf8'));
    const facts: Fact[] = [];
    let askedFor: Digest | undefined;
    let link = before;
    let at = BATCH_START.length;
    for (;;) {
      HEAD.lastIndex = at;
      const head = HEAD.exec(text);
      if (head === null) return undefined;
      const [, asked, time = '', follows, by = ''] = head;
      if (follows !== link || (asked !== undefined && facts.length > 0)) return undefined;
      if (isDigest(asked)) askedFor = asked;
      const from = HEAD.lastIndex - 1;
      const to = text.indexOf(BEHIND_BODY, from);
      const fact = to < 0 ? undefined : this.#body(line, text, from, to);
      if (fact === undefined) return undefined;
      TAIL.lastIndex = to + BEHIND_BODY.length;
      const tail = TAIL.exec(text);
      if (tail === null) return undefined;
      const number = seq + facts.length + 1;
      const end = `${number}}`;
      if (!text.startsWith(end, TAIL.lastIndex)) return undefined;
      const [, id = ''] = tail;
      facts.push({ format: '1', seq: number, id: said(id), at: said(time), by: said(by), fact });
      const start = at;
      at = TAIL.lastIndex + end.length;
      link = digestOf(line.subarray(start, at));
      if (text[at] !== ',') break;
      at += 1;
    }
    if (text.slice(at) !== `${BATCH_END}${link}"}`) return undefined;
    return { facts, last: link, ...(askedFor === undefined ? {} : { asked: askedFor }) };
  }

  /** The body between two places; undefined where it has not its form or is not written as the store writes. */
  #body(line: Buffer, text: string, from: number, to: number): FactBody | undefined {
    const known = this.#bodies.get(text.slice(from, to));
    if (known !== undefined) return known;
    const written = line.toString('utf8', from, to);
    const fact = parsed(written);
    const whole: unknown = { ...OUTSIDE, fact };
    if (!isFact(whole) || JSON.stringify(fact) !== written) return undefined;
    // A text of its own: a piece of the line would hold the line.
    this.#bodies.set(line.toString('latin1', from, to), whole.fact);
    return whole.fact;
  }
}

/** What stands around a body is looked at apart. */
const OUTSIDE = { format: '1', seq: 1, id: '', at: '', by: '' };

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
