import { createInterface, type Interface } from 'node:readline';
import { printable } from './output.ts';
import { width, wrap } from './wrap.ts';

/** A typed line, or how the typing ended. */
export type Line = { readonly text: string } | { readonly end: 'end-of-input' | 'interrupt' };

/** A prompt that is wider than the screen, broken at a space: the lines before the last one, and that. */
function foldPrompt(asked: string): { readonly before: string; readonly prompt: string } {
  if ([...asked].length <= width()) return { before: '', prompt: asked };
  const lines = wrap(asked.trim(), /^ */.exec(asked)?.[0] ?? '').split('\n');
  const last = lines.pop() ?? '';
  return { before: lines.map((line) => `${line}\n`).join(''), prompt: `${last} ` };
}

/**
 * Reads one line at a time from stdin, a terminal or a pipe. Prompts go to `to`; what comes through a pipe is written
 * after its prompt, so that the whole reads like a conversation.
 */
export class LineReader {
  readonly #lines: Line[] = [];
  readonly #reader: Interface;
  readonly #to: NodeJS.WriteStream;
  #waiting: ((line: Line) => void) | undefined;
  #ended: Line | undefined;

  constructor(to: NodeJS.WriteStream) {
    this.#to = to;
    const terminal = process.stdin.isTTY === true && to.isTTY === true;
    this.#reader = createInterface({ input: process.stdin, output: to, terminal, historySize: 0 });
    this.#reader.on('line', (text) => this.#push({ text }));
    this.#reader.on('close', () => this.#end({ end: 'end-of-input' }));
    this.#reader.on('SIGINT', () => this.#end({ end: 'interrupt' }));
    process.on('SIGINT', () => this.#end({ end: 'interrupt' }));
  }

  async ask(asked: string): Promise<Line> {
    const { before, prompt } = foldPrompt(asked);
    if (before !== '') this.#to.write(printable(before));
    const isTyped = this.#reader.terminal;
    if (isTyped && this.#lines.length === 0 && this.#ended === undefined) {
      this.#reader.setPrompt(printable(prompt));
      this.#reader.prompt();
      return this.#next();
    }
    this.#to.write(printable(prompt));
    const line = await this.#next();
    this.#to.write(`${'text' in line ? printable(line.text) : ''}\n`);
    return line;
  }

  close(): void {
    this.#ended ??= { end: 'end-of-input' };
    this.#reader.close();
  }

  #next(): Promise<Line> {
    // An interrupt ends the work at once; lines that came before the end of the input still count.
    if (this.#ended !== undefined && 'end' in this.#ended && this.#ended.end === 'interrupt')
      return Promise.resolve(this.#ended);
    const line = this.#lines.shift() ?? this.#ended;
    if (line !== undefined) return Promise.resolve(line);
    return new Promise((done) => {
      this.#waiting = done;
    });
  }

  #push(line: Line): void {
    const waiting = this.#waiting;
    this.#waiting = undefined;
    if (waiting === undefined) this.#lines.push(line);
    else waiting(line);
  }

  #end(line: Line): void {
    if (this.#ended !== undefined) return;
    this.#ended = line;
    const waiting = this.#waiting;
    this.#waiting = undefined;
    waiting?.(line);
  }
}
