import { isAscii } from 'node:buffer';
import type { Fact, FactBody } from '@ferrule/engine';
import { type Digest, digestOf } from '@ferrule/signing';
import { isDigest } from './is-digest.ts';
import { BATCH_END, BATCH_START, type Batch, isFact, readBatch } from './lines.ts';
import { RecentTexts } from './recent-texts.ts';

/** What stands between the parts of a fact, as the store writes it. */
const BEFORE_ASKED = '{"asked":"';
const BEHIND_ASKED = '","at":"';
const BEFORE_TIME = '{"at":"';
const BEFORE_LINK = '","before":"';
const BEFORE_NAME = '","by":"';
const BEFORE_BODY = '","fact":';
const BEHIND_BODY = ',"format":"1","id":"';
const BEFORE_NUMBER = '","seq":';
const DIGEST_LENGTH = 'sha256:'.length + 64;

const [QUOTE, BACKSLASH, SPACE] = [0x22, 0x5c, 0x20];

/** Characters of bodies that are remembered; a workshop's readings on one procedure come to some millions. */
const REMEMBERED = 3_000_000;
/** Of the bodies that have followed one, so many are tried first. */
const MOST_FOLLOWERS = 24;

/** A body with its text, one character for each byte, and the bodies that have followed it, about the most frequent first. */
interface Known {
  readonly text: string;
  readonly fact: FactBody;
  /** Forgotten with each turn of what is remembered, so that they do not keep for good what is not met again. */
  followers: Known[];
  turn: number;
  /** The bytes by which bodies at one place of a job mostly differ, as a number. */
  readonly mark: number;
}

/**
 * Reads the lines of very many jobs. What is said in one job is said in the next, and mostly after the same: the body of each fact
 * is parsed and held against its form once for each text, and every digest is still checked. A line that is not written as
 * the store writes is left to `readBatch`, so the answer is the same. Bodies of equal texts are one and the same object.
 */
export class AlikeLines {
  readonly #bodies: RecentTexts<Known>;
  #previous: Known = nothing();

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
    if (!stands(text, 0, BATCH_START)) return undefined;
    const isPlain = isAscii(line);
    const facts: Fact[] = [];
    let askedFor: Digest | undefined;
    let link = before;
    let at = BATCH_START.length;
    for (;;) {
      const start = at;
      let timeFrom = start + BEFORE_TIME.length;
      if (!stands(text, start, BEFORE_TIME)) {
        const asked = text.slice(start + BEFORE_ASKED.length, start + BEFORE_ASKED.length + DIGEST_LENGTH);
        timeFrom = start + BEFORE_ASKED.length + DIGEST_LENGTH + BEHIND_ASKED.length;
        const isAsked =
          stands(text, start, BEFORE_ASKED) && stands(text, timeFrom - BEHIND_ASKED.length, BEHIND_ASKED);
        if (!isAsked || !isDigest(asked) || facts.length > 0) return undefined;
        askedFor = asked;
      }
      const timeTo = plainTo(text, timeFrom);
      const linkFrom = timeTo + BEFORE_LINK.length;
      const nameFrom = linkFrom + DIGEST_LENGTH + BEFORE_NAME.length;
      if (
        !stands(text, timeTo, BEFORE_LINK) ||
        text.slice(linkFrom, linkFrom + DIGEST_LENGTH) !== link ||
        !stands(text, linkFrom + DIGEST_LENGTH, BEFORE_NAME)
      )
        return undefined;
      const nameTo = plainTo(text, nameFrom);
      const bodyFrom = nameTo + BEFORE_BODY.length;
      const body = stands(text, nameTo, BEFORE_BODY) ? this.#body(line, text, bodyFrom) : undefined;
      if (body === undefined) return undefined;
      const bodyTo = bodyFrom + body.text.length;
      const idFrom = bodyTo + BEHIND_BODY.length;
      const idTo = plainTo(text, idFrom);
      const number = seq + facts.length + 1;
      const end = `${number}}`;
      const numberFrom = idTo + BEFORE_NUMBER.length;
      if (!stands(text, idTo, BEFORE_NUMBER) || !stands(text, numberFrom, end)) return undefined;
      facts.push({
        format: '1',
        seq: number,
        id: said(line, text, idFrom, idTo, isPlain),
        at: said(line, text, timeFrom, timeTo, isPlain),
        by: said(line, text, nameFrom, nameTo, isPlain),
        fact: body.fact,
      });
      at = numberFrom + end.length;
      link = digestOf(line.subarray(start, at));
      if (text[at] !== ',') break;
      at += 1;
    }
    if (text.slice(at) !== `${BATCH_END}${link}"}`) return undefined;
    return { facts, last: link, ...(askedFor === undefined ? {} : { asked: askedFor }) };
  }

  /** The body that begins at a place; undefined where it has not its form or is not written as the store writes. */
  #body(line: Buffer, text: string, from: number): Known | undefined {
    const previous = this.#previous;
    if (previous.turn !== this.#bodies.turns) {
      previous.turn = this.#bodies.turns;
      previous.followers = [];
    }
    const { followers } = previous;
    const mark = markOf(text, from);
    for (let place = 0; place < followers.length; place++) {
      const one = followers[place];
      if (one === undefined || one.mark !== mark) continue;
      const to = from + one.text.length;
      // To compare a long piece is ten times as quick as `startsWith` of V8 11.
      if (text.slice(from, to) !== one.text || !stands(text, to, BEHIND_BODY)) continue;
      const ahead = followers[place - 1];
      if (ahead !== undefined) {
        // One place ahead each time: what comes often is soon tried first.
        followers[place - 1] = one;
        followers[place] = ahead;
      }
      this.#previous = one;
      return one;
    }
    const to = text.indexOf(BEHIND_BODY, from);
    const body = to < 0 ? undefined : (this.#bodies.get(text.slice(from, to)) ?? this.#made(line, from, to));
    if (body === undefined) return undefined;
    if (followers.length < MOST_FOLLOWERS) followers.push(body);
    else followers[MOST_FOLLOWERS - 1] = body;
    this.#previous = body;
    return body;
  }

  #made(line: Buffer, from: number, to: number): Known | undefined {
    const written = line.toString('utf8', from, to);
    const fact = parsed(written);
    const whole: unknown = { ...OUTSIDE, fact };
    if (!isFact(whole) || JSON.stringify(fact) !== written) return undefined;
    // A text of its own: a piece of the line would hold the line.
    const text = line.toString('latin1', from, to);
    const made = { text, fact: whole.fact, followers: [], turn: 0, mark: markOf(text, 0) };
    this.#bodies.set(text, made);
    return made;
  }
}

const nothing = (): Known => ({
  text: '',
  fact: { kind: 'noted', text: '' },
  followers: [],
  turn: 0,
  mark: 0,
});

/** What stands around a body is looked at apart. */
const OUTSIDE = { format: '1', seq: 1, id: '', at: '', by: '' };

/** Whether a short text stands at a place of another. */
function stands(text: string, at: number, what: string): boolean {
  for (let place = 0; place < what.length; place++)
    if (text.charCodeAt(at + place) !== what.charCodeAt(place)) return false;
  return true;
}

/** In a reading these are the digits; what lies behind the end is no number and stands for nothing. */
const [MARK_FROM, MARK_TO] = [11, 16];

function markOf(text: string, from: number): number {
  let mark = 0;
  for (let at = from + MARK_FROM; at < from + MARK_TO; at++) mark = (mark * 31 + text.charCodeAt(at)) | 0;
  return mark;
}

/** Where a string ends that has nothing in it that is written with a backslash; at the last place of all otherwise. */
function plainTo(text: string, from: number): number {
  for (let at = from; at < text.length; at++) {
    const sign = text.charCodeAt(at);
    if (sign === QUOTE) return at;
    if (sign === BACKSLASH || sign < SPACE) break;
  }
  return text.length;
}

const said = (line: Buffer, text: string, from: number, to: number, isPlain: boolean): string =>
  isPlain ? text.slice(from, to) : line.toString('utf8', from, to);

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
