import {
  compareDiagnostics,
  type Diagnostic,
  type Pack,
  type Plan,
  type ResolveRequest,
  resolve,
  type Span,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { type FileReadings, type PackReading, type Positions, readPack } from '@ferrule/source';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, say, sayJson } from '../terminal/output.ts';
import { policyFor } from './policy-for.ts';
import { writeDiagnostic } from './write-diagnostic.ts';

/** A pack that is right in form; its names are checked by resolving it. */
export interface OpenedPack {
  readonly folder: string;
  readonly pack: Pack;
  readonly reading: PackReading;
}

export interface Faulty {
  readonly exitCode: ExitCode;
}

/**
 * Reads a pack, with an overlay where one is named, and holds it against the format. What is wrong is printed, and the exit
 * code comes back.
 */
export async function openPack(
  folder: string,
  format: Format,
  options: {
    readonly withoutTrials?: boolean;
    readonly overlay?: string | undefined;
    /** The file that says whose signatures count. */
    readonly policy?: string | undefined;
    /** Of files that were read before. */
    readonly readings?: FileReadings | undefined;
  } = {},
): Promise<OpenedPack | Faulty> {
  const { overlay, withoutTrials, readings } = options;
  const found = await policyFor(folder, options.policy, format);
  if ('exitCode' in found) return found;
  const { policy } = found;
  const reading = await readPack(
    folder,
    overlay === undefined
      ? { policy, readings, ...(withoutTrials === true ? { withoutTrials } : {}) }
      : { policy, readings, overlay },
  );
  if (isNoPack(reading.diagnostics)) return noPack(folder, reading.diagnostics);
  if (reading.diagnostics.some((one) => one.severity === 'error'))
    return faulty(folder, reading, reading.diagnostics, format);
  const { pack, diagnostics } = validate(reading.document);
  return pack === undefined ? faulty(folder, reading, diagnostics, format) : { folder, pack, reading };
}

/** Resolves a procedure of an opened pack for a variant. Names that the pack does not have are faults of the call. */
export function planOf(opened: OpenedPack, request: ResolveRequest, format: Format): Plan | Faulty {
  const { pack, folder, reading } = opened;
  const wrong =
    notAmong('procedure', request.procedure, Object.keys(pack.procedures)) ??
    notAmong(
      'variant',
      request.variant,
      pack.procedures[request.procedure]?.variants ?? Object.keys(pack.variants),
    );
  if (wrong !== undefined) return callFault(wrong);
  const { plan, diagnostics } = resolve(pack, request);
  return plan ?? faulty(folder, reading, diagnostics, format);
}

/** Says that the call was wrong. */
export function callFault(message: string): Faulty {
  complain(`ferrule: ${message}`);
  return { exitCode: 2 };
}

/** A line that says which names there are, when this is none of them. */
export function notAmong(what: string, name: string, known: readonly string[]): string | undefined {
  return known.includes(name)
    ? undefined
    : `there is no ${what} ${name} here. There is ${known.join(', ') || 'none'}.`;
}

/** Whether the folder is not there at all, which is a fault of the call and none of a pack. */
export const isNoPack = (diagnostics: readonly Diagnostic[]): boolean =>
  diagnostics.some((one) => one.code === 'missing-folder');

export function noPack(folder: string, diagnostics: readonly Diagnostic[]): Faulty {
  const { message = '', remedy = '' } = diagnostics.find((one) => one.code === 'missing-folder') ?? {};
  return callFault(`${folder}: ${message} ${remedy}`);
}

/** Prints what is wrong with a pack. */
export function faulty(
  folder: string,
  reading: PackReading,
  diagnostics: readonly Diagnostic[],
  format: Format,
): Faulty {
  const placed = placeDiagnostics(diagnostics, reading);
  if (format === 'json') sayJson({ pack: folder, diagnostics: placed });
  else for (const one of placed) say(writeDiagnostic(folder, one));
  return { exitCode: 1 };
}

/** A key that is not known stands on itself, any other fault on its value or on what is around it. */
export function placeOf({ code, pointer }: Diagnostic, positions: Positions): Span | undefined {
  return (code === 'unknown-key' ? positions.key(pointer) : undefined) ?? positions.nearest(pointer);
}

/** Diagnostics with the place in the files that each speaks of, in order. */
function placeDiagnostics(diagnostics: readonly Diagnostic[], reading: PackReading): readonly Diagnostic[] {
  return diagnostics
    .map((one) => {
      const span = one.span ?? placeOf(one, reading.positions);
      return span === undefined ? one : { ...one, span };
    })
    .sort(compareDiagnostics);
}
