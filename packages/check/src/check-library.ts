import { type Diagnostic, pointerTo, Report } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, type SourceMapping, strayKeys, whatLibrariesHold } from '@ferrule/source';
import { examine } from './examine.ts';

/** A library by its name, as packs pin it. */
export interface CheckedLibrary {
  readonly name: string;
  readonly revision: string;
  readonly title: string;
  /** By which a pack pins it in `uses`. */
  readonly digest: string;
}

/** The name of the library that a document is, if it is one. */
export const libraryNamed = ({ library }: SourceMapping): string | undefined =>
  typeof library === 'string' ? library : undefined;

/**
 * Holds a library against the written format, each of its things by itself. Whether names fit and laws hold shows only in
 * the packs that use it: check them too.
 */
export function checkLibrary(document: SourceMapping): {
  readonly library?: CheckedLibrary;
  readonly diagnostics: readonly Diagnostic[];
} {
  const report = new Report();
  const stray = strayKeys(document);
  for (const key of stray) {
    report.add('unknown-key', pointerTo('', key), `The key ${key} is not known in a library.`, {
      remedy: whatLibrariesHold,
    });
  }
  const { library: name, ...sections } = document;
  const known = Object.fromEntries(Object.entries(sections).filter(([key]) => !stray.includes(key)));
  // Whatever a pack needs and a library need not have.
  const { pack, diagnostics } = validate({ ...stand, ...known, pack: name });
  if (pack === undefined || report.hasErrors) return { diagnostics: [...report.diagnostics, ...diagnostics] };
  examine({ pack, plans: [], report }, 'written');
  return {
    library: {
      name: pack.pack,
      revision: pack.revision,
      title: pack.title,
      digest: bundleOf(document).digest,
    },
    diagnostics: report.diagnostics.filter(({ pointer }) => !pointer.includes(`/${NONE}`)),
  };
}

const NONE = 'none-of-its-own';
const stand = {
  variants: { [NONE]: { title: 'None' } },
  procedures: { [NONE]: { title: 'None', steps: [{ step: 'none', do: 'Look.' }] } },
};
