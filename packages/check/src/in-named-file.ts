import type { Diagnostic } from '@ferrule/engine';

/** A diagnostic on a file that was read under another name, with its own name, also at the other place of what stands twice. */
export const inNamedFile = ({ other, ...one }: Diagnostic, name: string): Diagnostic => ({
  ...one,
  ...(one.span === undefined ? {} : { span: { ...one.span, file: name } }),
  ...(other === undefined
    ? {}
    : {
        other: other.map((place) =>
          place.span === undefined ? place : { ...place, span: { ...place.span, file: name } },
        ),
      }),
});
