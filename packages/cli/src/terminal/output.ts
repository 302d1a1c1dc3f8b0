/**
 * Control characters and the signs that turn the direction of a text about: from a pack or a person they could move the
 * cursor, colour the screen or hide what is said.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be found
const UNPRINTABLE = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g;

/** A text for the screen: line ends stay, other control characters become a visible sign. */
export const printable = (text: string): string => text.replace(UNPRINTABLE, '\ufffd');

/** Writes lines to stdout: results. */
export const say = (text: string): void => void process.stdout.write(`${printable(text)}\n`);

/** Writes rows to stdout, with the line ends that a screen has. */
export const sayRows = (rows: string): void =>
  void process.stdout.write(printable(rows.replaceAll('\r\n', '\n')));

/** Writes lines to stderr: faults of the call and of the surroundings. */
export const complain = (text: string): void => void process.stderr.write(`${printable(text)}\n`);

/** Writes to stderr what is being done, where a person watches; nothing otherwise. */
export function progress(text: string): void {
  if (process.stderr.isTTY) process.stderr.write(`${printable(text)}\n`);
}

/** Writes a value to stdout as JSON. */
export const sayJson = (value: unknown): void =>
  void process.stdout.write(`${JSON.stringify(value, jsonForm, 2)}\n`);

/** Writes a value to stdout as JSON on one line. */
export const sayJsonLine = (value: unknown): void =>
  void process.stdout.write(`${JSON.stringify(value, jsonForm)}\n`);

/** Empties the screen, where a person watches one. */
export function clearScreen(): void {
  if (process.stdout.isTTY) process.stdout.write('\u001b[2J\u001b[3J\u001b[H');
}

/** Exact numbers become fractions as text, maps become objects. */
function jsonForm(_key: string, value: unknown): unknown {
  if (value instanceof Map) return Object.fromEntries(value);
  return typeof value === 'bigint' ? String(value) : value;
}

/** A reader such as `head` may close the pipe before everything is written; that is no fault. */
export function leaveQuietlyOnClosedPipe(): void {
  for (const stream of [process.stdout, process.stderr]) {
    stream.on('error', (fault: NodeJS.ErrnoException) => {
      if (fault.code === 'EPIPE') process.exit();
      throw fault;
    });
  }
}
