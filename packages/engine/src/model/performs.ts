import { nearest } from '../logic/index.ts';
import { fill } from './fill.ts';
import { bound, type Frame } from './frame.ts';
import type { Perform, Procedure } from './generated/document.ts';
import { join } from './outline.ts';
import { pointerTo } from './pointer.ts';
import type { Writing } from './writing.ts';

/** Writes `perform` out: the steps of another procedure, in a frame of its own. */
export class Performs {
  readonly #writing: Writing;

  constructor(writing: Writing) {
    this.#writing = writing;
  }

  /** The block's index; undefined, with a diagnostic, for a procedure that is not there or that would perform itself. */
  write(parent: number, written: Perform, path: string, frame: Frame, pointer: string): number | undefined {
    const { pack, report, outline, body } = this.#writing;
    const { procedures } = pack;
    const document = Object.hasOwn(procedures, written.perform) ? procedures[written.perform] : undefined;
    const at = pointerTo(pointer, 'perform');
    if (document === undefined) {
      report.unknown('procedure', written.perform, Object.keys(procedures), at);
      return undefined;
    }
    report.use('procedures', written.perform);
    for (let outer: Frame | undefined = frame; outer !== undefined; outer = outer.outer) {
      if (outer.procedure !== written.perform) continue;
      const way = outer === frame ? '' : `, by way of ${frame.procedure}`;
      report.add('recursive-procedure', at, `${written.perform} performs itself${way}.`, {
        remedy:
          'Name the procedure that is meant, or take this out: what is done again belongs into a rework.',
      });
      return undefined;
    }
    const as = written.as ?? written.perform;
    const inside = join(path, as);
    const bindings = this.#given(written, document, frame, pointer);
    // What is not given is missing everywhere inside, and told here once.
    if (bindings === undefined) return undefined;
    const when = written.when ?? frame.when;
    const inner = bound(
      {
        procedure: written.perform,
        document,
        pointer: pointerTo('/procedures', written.perform),
        prefix: `${frame.prefix}${as}.`,
        bindings: new Map(),
        outer: frame,
        ...(when === undefined ? {} : { when }),
      },
      bindings,
    );
    return outline.block(parent, as, inside, inner, pointer, (block) =>
      body(block, document.steps, inside, inner, pointerTo(inner.pointer, 'steps')),
    );
  }

  /** A text that is given, and was perhaps meant as a name that is bound here. A bore is a number, or such a name. */
  #checkText(name: string, value: string, frame: Frame, pointer: string): void {
    const { report } = this.#writing;
    const bound = [...frame.bindings.keys()];
    if (name === 'bore') {
      if (!/^\d+$|\{/.test(value)) report.unknown('bore, nor a bound name,', value, bound, pointer);
      return;
    }
    const meant = nearest(value, bound);
    if (meant === undefined || value.length < 4) return;
    report.add('unknown-name', pointer, `${value} is given as a text: no name ${value} is bound here.`, {
      severity: 'warning',
      remedy: `Did you mean ${meant}?`,
    });
  }

  /** What the procedure is given: the value of a name that is bound here, or a text with its place-holders filled. */
  #given(
    written: Perform,
    document: Procedure,
    frame: Frame,
    pointer: string,
  ): readonly (readonly [string, string])[] | undefined {
    const { variant, report } = this.#writing;
    const takes = document.takes ?? [];
    const given = written.given ?? {};
    for (const name of takes) {
      if (!Object.hasOwn(given, name)) {
        report.add('missing-key', pointer, `${written.perform} takes ${name}, and it is not given.`, {
          remedy: `given: { ${name}: … }`,
        });
      }
    }
    const bindings = Object.entries(given).map(([name, value]) => {
      const at = pointerTo(pointer, 'given', name);
      if (!takes.includes(name)) report.unknown('name that it takes', name, takes, at);
      const bound = frame.bindings.get(value);
      if (bound === undefined) this.#checkText(name, value, frame, at);
      return [name, bound ?? fill(value, frame, variant, at, report)] as const;
    });
    return takes.every((name) => Object.hasOwn(given, name)) ? bindings : undefined;
  }
}
