// Without the u flag's pairing a whole surrogate pair would match; with it only a lone half does.
const LONE_SURROGATE = /\p{Surrogate}/u;

// Hardly a text holds any of them, and this is told sooner.
const SURROGATE = /[\ud800-\udfff]/;

function writeText(text: string, where: string): string {
  if (SURROGATE.test(text) && LONE_SURROGATE.test(text))
    throw new TypeError(`canonical JSON: lone surrogate in the text at ${where}`);
  return JSON.stringify(text);
}

function isPlain(value: object): value is Record<string, unknown> {
  const prototype: unknown = Object.getPrototypeOf(value);
  // A plain object of another realm has that realm's Object.prototype, which itself has no prototype.
  return prototype === null || (typeof prototype === 'object' && Object.getPrototypeOf(prototype) === null);
}

function write(value: unknown, where: string): string {
  switch (typeof value) {
    case 'string':
      return writeText(value, where);
    case 'boolean':
      return String(value);
    case 'number':
      if (!Number.isFinite(value)) throw new TypeError(`canonical JSON: ${value} at ${where}`);
      return JSON.stringify(value);
    case 'object': {
      if (value === null) return 'null';
      if (Array.isArray(value)) {
        let items = '';
        // Holes are visited too, which map would skip.
        for (let index = 0; index < value.length; index++)
          items += `${index === 0 ? '' : ','}${write(value[index], `${where}/${index}`)}`;
        return `[${items}]`;
      }
      if (!isPlain(value)) throw new TypeError(`canonical JSON: neither plain object nor array at ${where}`);
      // The default sort compares UTF-16 code units, as RFC 8785 clause 3.2.3 asks.
      const members = Object.keys(value)
        .sort()
        .map((key) => `${writeText(key, where)}:${write(value[key], `${where}/${key}`)}`);
      return `{${members.join(',')}}`;
    }
    default:
      throw new TypeError(`canonical JSON: ${typeof value} at ${where}`);
  }
}

/**
 * The canonical text of a JSON value (RFC 8785): members sorted by UTF-16 code units, ECMAScript number and
 * string forms, no white space, no Unicode normalisation. Equal values give equal text on every machine.
 *
 * Throws a TypeError for anything that is not JSON (undefined, NaN, an infinity, a bigint, a lone surrogate,
 * a Map, a Date): such a value here is a bug of the caller, never of the person who wrote the data.
 */
export function canonical(value: unknown): string {
  return write(value, '$');
}
