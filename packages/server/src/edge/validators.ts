import { nearest } from '@ferrule/engine';
import { Ajv2020 } from 'ajv/dist/2020.js';
import type { FastifySchemaCompiler, FastifySchemaValidationError } from 'fastify';
import { patternWords } from '../parameters.ts';
import { type Problem, problem } from '../problem.ts';
import type { JsonSchema } from '../schema.ts';

/**
 * Compiles the schemas of the routes. Nothing is changed to fit: no text becomes a number, no member that is not known is taken
 * away, nothing is filled in.
 */
export function validators(parts: ReadonlyMap<string, unknown>): FastifySchemaCompiler<JsonSchema> {
  // Verbose: a message names the value that it is about.
  const ajv = new Ajv2020({
    verbose: true,
    discriminator: true,
    strict: true,
    strictRequired: false,
    strictTypes: false,
  });
  for (const [name, schema] of parts) ajv.addSchema({ ...Object(schema), $id: name });
  return ({ schema }) => ajv.compile(schema);
}

const places: Readonly<Record<string, string>> = {
  querystring: '/query',
  params: '/path',
  headers: '/headers',
};

/** What a validator found, as a problem that points at the place. */
export function invalid(found: FastifySchemaValidationError, context: string | undefined): Problem {
  const { keyword, instancePath, params, message = 'is not as it has to be' } = found;
  const at = `${places[context ?? ''] ?? ''}${instancePath}`;
  const inside = (name: unknown): string =>
    `${at}/${String(name).replaceAll('~', '~0').replaceAll('/', '~1')}`;
  const where = (pointer: string): string => (pointer === '' ? 'The body' : pointer);
  const known = keyword === 'const' ? [params['allowedValue']] : params['allowedValues'];
  const words = wordsOf(known);
  if (words.length > 0) return notAmong(words, 'data' in found ? found.data : undefined, at, where(at));
  switch (keyword) {
    case 'required': {
      const pointer = inside(params['missingProperty']);
      return problem('invalid-request', `${pointer} is missing.`, { pointer });
    }
    case 'additionalProperties': {
      const pointer = inside(String(params['additionalProperty']).slice(0, 100));
      return problem('invalid-request', `${pointer} is no member that there is here.`, { pointer });
    }
    case 'discriminator': {
      const pointer = inside(params['tag']);
      return problem('invalid-request', `${pointer} is none of the words that there are.`, { pointer });
    }
    default: {
      const { pattern, limit, type } = params;
      const says =
        patternWords[String(pattern)] ??
        (at.startsWith('/query/') && keyword === 'type' ? 'is given twice' : plain(keyword, limit)) ??
        message;
      return problem('invalid-request', `${where(at)} ${says}.`, {
        pointer: at,
        operands: Object.fromEntries(
          Object.entries({ pattern, limit, type }).filter(([, value]) => value !== undefined),
        ),
      });
    }
  }
}

/** What a limit of length asks for, in words. */
function plain(keyword: string, limit: unknown): string | undefined {
  if (keyword === 'minLength') return limit === 1 ? 'is empty' : `has to have at least ${limit} characters`;
  return keyword === 'maxLength' ? `has more than ${limit} characters` : undefined;
}

/** That a value is none of the words that there are, and which it may have meant. */
function notAmong(known: readonly string[], data: unknown, pointer: string, place: string): Problem {
  const value = typeof data === 'string' ? data.slice(0, 100) : undefined;
  const near = value === undefined ? undefined : nearest(value, known);
  const is = value === undefined ? 'is' : `is ${value}, and that is`;
  const hint = near === undefined ? '' : ` Did you mean ${near}?`;
  return problem('invalid-request', `${place} ${is} none of ${known.join(', ')}.${hint}`, {
    pointer,
    operands: {
      known,
      ...(value === undefined ? {} : { value }),
      ...(near === undefined ? {} : { near }),
    },
  });
}

const wordsOf = (value: unknown): readonly string[] =>
  Array.isArray(value) ? value.filter((one): one is string => typeof one === 'string') : [];

const LONE_HALF = /\p{Surrogate}/u;

/** Where a value holds half a character, which has no form in UTF-8 and so none in a record; undefined when it does nowhere. */
export function halfCharacter(value: unknown, pointer = ''): string | undefined {
  if (typeof value === 'string') return LONE_HALF.test(value) ? pointer : undefined;
  if (typeof value !== 'object' || value === null) return undefined;
  for (const [key, item] of Object.entries(value)) {
    const found = halfCharacter(item, `${pointer}/${key}`);
    if (found !== undefined) return found;
  }
  return undefined;
}
