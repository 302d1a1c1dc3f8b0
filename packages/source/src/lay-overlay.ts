import { compareDiagnostics, type Diagnostic, type DiagnosticCode, saysUnknown } from '@ferrule/engine';
import { validate, validateOverlay } from '@ferrule/engine/validate';
import { bundleOf } from './bundle.ts';
import { comparedWith, instrumentOf } from './compared-readings.ts';
import { worseIn } from './finer-instrument.ts';
import { inside, itemsOf, listOf, namesOf, type Objection, type Placed, textOf, withKey } from './placed.ts';
import { pointerOf } from './pointer.ts';
import { positionsOf } from './positions.ts';
import type { ReadFiles } from './read-files.ts';
import { isList, isMapping } from './source-value.ts';
import { type Range, type Spot, spanOf } from './spot.ts';
import { narrow } from './stricter-limits.ts';
import type { PackReading } from './take-libraries.ts';

/** Sections in which an overlay declares further names. */
const addedSections = ['roles', 'conditions', 'hazards', 'equipment', 'supplies', 'instruments', 'trials'];
/** Sections whose names stand in the same lists: a name that one of them has means that thing. */
const sharedSections = ['equipment', 'supplies', 'instruments', 'parts'];
const requirements = ['conditions', 'persons', 'equipment', 'supplies', 'spares', 'safety'];

/**
 * The pack with an overlay laid over it: further names, requirements, cautions, witnesses and hold points, limits inside
 * those of the pack, instruments that are nowhere worse, and trials of its own. Each keeps its place in its file. What would
 * weaken the pack is reported, and then nothing is laid; there is no key that takes anything away. The document says which
 * overlay it was, under `overlaid`. Nothing is laid over a pack that is another one than the overlay says, or that is not
 * right in form; `folder` leads to the files of the overlay.
 */
export function layOverlay(pack: PackReading, overlay: ReadFiles, folder: string): PackReading {
  const laying = new Laying(pack, overlay, folder);
  laying.all();
  return laying.result();
}

class Laying {
  readonly #pack: PackReading;
  readonly #overlay: ReadFiles;
  readonly #folder: string;
  readonly #diagnostics: Diagnostic[];
  #whole: Placed;

  constructor(pack: PackReading, overlay: ReadFiles, folder: string) {
    this.#pack = pack;
    this.#overlay = overlay;
    this.#folder = folder;
    this.#diagnostics = [...pack.diagnostics, ...overlay.diagnostics];
    this.#whole = { value: pack.document, spot: pack.root };
  }

  all(): void {
    const { document, root, positions, diagnostics } = this.#overlay;
    const isBroken = [...this.#pack.diagnostics, ...diagnostics].some((one) => one.severity === 'error');
    if (isBroken) return;
    const laid: Placed = { value: document, spot: root };
    const faults = validateOverlay(document);
    for (const one of faults) {
      const span = positions.nearest(one.pointer);
      this.#diagnostics.push(span === undefined ? one : { ...one, span });
    }
    if (faults.length > 0 || !this.#isFor(laid)) return;
    // What is wrong with the pack by itself is told by whoever validates it, and no addition may cure it.
    if (validate(this.#pack.document).pack === undefined) return;
    for (const section of addedSections) this.#declare(section, inside(laid, section));
    for (const one of itemsOf(inside(laid, 'hold-points'))) this.#holdPoint(one);
    for (const one of itemsOf(inside(laid, 'preliminary'))) this.#require(one);
    for (const one of itemsOf(inside(laid, 'cautions')))
      this.#steps(one, 'step', (step) => [
        withKey(step, 'hazards', union(inside(step, 'hazards'), inside(one, 'hazards'))),
      ]);
    for (const one of itemsOf(inside(laid, 'witnesses'))) this.#witness(one);
    for (const one of itemsOf(inside(laid, 'finer'))) this.#finer(one);
    for (const one of itemsOf(inside(laid, 'finer'))) this.#finerTogether(one);
    for (const one of itemsOf(inside(laid, 'stricter'))) this.#stricter(one);
    // One that is refused in part is not laid in part.
    if (this.#diagnostics.some((one) => one.severity === 'error'))
      this.#whole = { value: this.#pack.document, spot: this.#pack.root };
    else this.#say(laid);
  }

  result(): PackReading {
    const { value, spot } = this.#whole;
    const { libraries, files } = this.#pack;
    return {
      document: isMapping(value) ? value : {},
      root: spot,
      positions: positionsOf(spot),
      diagnostics: this.#diagnostics.sort(compareDiagnostics),
      libraries,
      files: [...files, ...this.#overlay.files],
      overlay: this.#folder,
    };
  }

  /** Writes into the document which overlay this is, and over what. */
  #say(laid: Placed): void {
    const { document } = this.#overlay;
    const trials = namesOf(inside(laid, 'trials'));
    this.#whole = withKey(this.#whole, 'overlaid', {
      value: {
        ...Object.fromEntries(
          ['overlay', 'revision', 'title'].map((key) => [key, textOf(inside(laid, key))]),
        ),
        digest: bundleOf(document).digest,
        over: bundleOf(this.#pack.document).digest,
        ...(trials.length === 0 ? {} : { trials }),
      },
      spot: inside(laid, 'overlay')?.spot ?? {},
    });
  }

  /** Whether the overlay was written over this very pack. */
  #isFor(laid: Placed): boolean {
    const over = inside(laid, 'over');
    const said = ['pack', 'revision', 'digest'].map((key) => over && inside(over, key));
    const { pack = 'none', revision = 'none' } = this.#pack.document;
    const is = [pack, revision, bundleOf(this.#pack.document).digest].map(String);
    const at = said.findIndex((one, index) => textOf(one) !== is[index]);
    if (at < 0) return true;
    const [what, found, place] = [['pack', 'revision', 'digest'][at] ?? '', is[at] ?? '', said[at]];
    this.#report(
      'overlay-of-another',
      place,
      `The overlay is for ${what} ${textOf(place)}, and this is ${found}.`,
      {
        remedy:
          at === 0
            ? `Lay it over ${textOf(place)}, or lay another overlay over this pack.`
            : `Look through what has changed in the pack. When the overlay still fits, write under over: revision: ${is[1]}, digest: '${is[2]}'.`,
      },
    );
    return false;
  }

  #declare(section: string, added: Placed | undefined): void {
    if (added === undefined) return;
    for (const name of namesOf(added)) {
      const item = inside(added, name);
      if (item === undefined) continue;
      const rivals = sharedSections.includes(section) ? sharedSections : [section];
      const rival = rivals.flatMap((one) => inside(inside(this.#whole, one) ?? nothing, name) ?? [])[0];
      if (rival === undefined)
        this.#whole = withKey(
          this.#whole,
          section,
          withKey(inside(this.#whole, section) ?? nothing, name, item),
        );
      else
        this.#report('duplicate-name', item, `The pack has ${name} already.`, {
          remedy: 'Give it another name: an overlay replaces nothing.',
          on: 'key',
          other: rival.spot.key ?? rival.spot.value,
        });
    }
  }

  #require(one: Placed): void {
    const at = inside(one, 'procedure');
    const name = textOf(at);
    this.#procedure(at, name, (procedure) => {
      const preliminary = inside(procedure, 'preliminary');
      if (preliminary === undefined) {
        this.#report(
          'unknown-name',
          at,
          `${name} has no preliminary requirements: it is part of another procedure.`,
          {
            remedy: 'Name the procedure that a job is.',
          },
        );
        return procedure;
      }
      let more = preliminary;
      for (const key of requirements)
        if (inside(one, key) !== undefined)
          more = withKey(more, key, union(inside(more, key), inside(one, key)));
      return withKey(procedure, 'preliminary', more);
    });
  }

  #witness(one: Placed): void {
    const role = inside(one, 'witness');
    if (role === undefined) return;
    this.#steps(one, 'step', (step) => {
      const own = inside(step, 'witness');
      if (own === undefined) return [withKey(step, 'witness', role)];
      this.#report(
        'overlay-weakens',
        role,
        `${textOf(inside(one, 'step'))} has a witness already: ${textOf(own)}.`,
        {
          remedy: 'Leave that one, or wait for the other at a hold point before the next step.',
          other: own.spot.value,
        },
      );
      return [step];
    });
  }

  #holdPoint(one: Placed): void {
    const [hold, text, witness] = ['hold', 'text', 'witness'].map((key) => inside(one, key));
    if (hold === undefined || text === undefined || witness === undefined) return;
    const name = textOf(hold);
    const holds = inside(this.#whole, 'holds') ?? nothing;
    const rival = inside(holds, name);
    if (rival !== undefined) {
      this.#report('duplicate-name', hold, `The pack has a hold ${name} already.`, {
        remedy: 'Give it another name: an overlay replaces nothing.',
        other: rival.spot.key ?? rival.spot.value,
      });
      return;
    }
    const here = { value: {}, spot: hold.spot };
    const release = listOf([withKey({ value: {}, spot: witness.spot }, 'witness', witness)], witness.spot);
    const made = withKey(
      withKey(withKey(here, 'text', text), 'safety', { value: 'yes', spot: hold.spot }),
      'release',
      release,
    );
    this.#whole = withKey(this.#whole, 'holds', withKey(holds, name, made));
    this.#steps(one, 'before', (step) => {
      // Where the step is passed over, nobody waits for it.
      const onlyIf = inside(step, 'only-if');
      const point = withKey(here, 'hold', hold);
      return [onlyIf === undefined ? point : withKey(point, 'only-if', onlyIf), step];
    });
  }

  #stricter(one: Placed): void {
    this.#within(one, 'tolerance', 'tolerances', (tolerance) => {
      const made = narrow(tolerance, one, inside(this.#whole, 'variants') ?? nothing);
      if ('narrowed' in made) return made.narrowed;
      this.#object(made);
      return tolerance;
    });
  }

  #finer(one: Placed): void {
    const wanted = inside(one, 'instrument');
    if (wanted === undefined) return;
    this.#within(one, 'reading', 'readings', (reading) => {
      const instruments = inside(this.#whole, 'instruments') ?? nothing;
      const own = inside(reading, 'instrument');
      if (own === undefined) {
        this.#report(
          'overlay-weakens',
          inside(one, 'reading'),
          'This reading is taken without an instrument.',
          {
            remedy: 'Name a reading that is taken with one: what is counted needs none.',
          },
        );
        return reading;
      }
      const [before, now] = [own, wanted].map((name) => inside(instruments, textOf(name)));
      if (now === undefined) this.#unknown('instrument', wanted, textOf(wanted), instruments);
      if (before === undefined || now === undefined) return reading;
      const worse = textOf(wanted) === textOf(own) ? 'it is the same' : worseIn(before, now, reading);
      if (worse === undefined) return withKey(reading, 'instrument', wanted);
      this.#report(
        'overlay-weakens',
        wanted,
        `${textOf(wanted)} does not replace ${textOf(own)}: ${worse}.`,
        {
          remedy: 'Name an instrument that is nowhere worse.',
          other: before.spot.key ?? before.spot.value,
        },
      );
      return reading;
    });
  }

  /** Readings that are compared with one another were taken with one instrument, and still have to be. */
  #finerTogether(one: Placed): void {
    const at = inside(one, 'reading');
    const [before, now] = [this.#pack.document, this.#whole.value].map(
      (value) => inside({ value, spot: {} }, 'procedures') ?? nothing,
    );
    if (before === undefined || now === undefined) return;
    const reading = textOf(at);
    const instrument = instrumentOf(now, reading);
    if (instrument === instrumentOf(before, reading)) return;
    for (const { reading: other, by } of comparedWith(now, reading)) {
      const own = instrumentOf(before, other);
      if (own !== instrumentOf(before, reading) || instrumentOf(now, other) === instrument) continue;
      this.#report(
        'overlay-weakens',
        at,
        `${by} sets ${reading} beside ${other}, which is still taken with ${own}: what both had in common no longer cancels.`,
        { remedy: `Name ${other} under finer too, with ${instrument}.` },
      );
      return;
    }
  }

  #procedure(at: Placed | undefined, name: string, change: (procedure: Placed) => Placed): void {
    const procedures = inside(this.#whole, 'procedures') ?? nothing;
    const procedure = inside(procedures, name);
    if (procedure === undefined) this.#unknown('procedure', at, name, procedures);
    else this.#whole = withKey(this.#whole, 'procedures', withKey(procedures, name, change(procedure)));
  }

  /** Changes something of a procedure that `key` names like `fit-pump/shift-limits`. */
  #within(one: Placed, key: string, section: string, change: (thing: Placed) => Placed): void {
    const at = inside(one, key);
    const [procedure = '', name = ''] = textOf(at).split('/');
    this.#procedure(at, procedure, (found) => {
      const things = inside(found, section) ?? nothing;
      const thing = inside(things, name);
      if (thing !== undefined) return withKey(found, section, withKey(things, name, change(thing)));
      this.#unknown(key, at, name, things, procedure);
      return found;
    });
  }

  /** Puts something in the place of every step of a name in a procedure, wherever it stands. */
  #steps(one: Placed, key: string, change: (step: Placed) => readonly Placed[]): void {
    const at = inside(one, key);
    const [procedure = '', name = ''] = textOf(at).split('/');
    const known = new Set<string>();
    const walk = (placed: Placed): Placed => {
      const { value, spot } = placed;
      if (isList(value))
        return listOf(
          itemsOf(placed).flatMap((item) => {
            const step = textOf(inside(item, 'step'));
            known.add(step);
            return step === name ? change(walk(item)) : [walk(item)];
          }),
          spot,
        );
      if (!isMapping(value)) return placed;
      let walked = placed;
      for (const inner of Object.keys(value)) {
        const item = inside(walked, inner);
        if (item !== undefined && typeof item.value !== 'string') walked = withKey(walked, inner, walk(item));
      }
      return walked;
    };
    this.#procedure(at, procedure, (found) => {
      const steps = inside(found, 'steps');
      const walked = steps === undefined ? found : withKey(found, 'steps', walk(steps));
      known.delete('');
      if (!known.has(name))
        this.#unknown(
          'step',
          at,
          name,
          { value: Object.fromEntries([...known].map((one) => [one, ''])), spot: {} },
          procedure,
        );
      return walked;
    });
  }

  #unknown(what: string, at: Placed | undefined, name: string, known: Placed, of?: string): void {
    const { message, remedy } = saysUnknown(what, name, namesOf(known), of);
    this.#report('unknown-name', at, message, { remedy: remedy ?? 'Name one that the pack has.' });
  }

  #object({ code, at, message, remedy }: Objection): void {
    this.#report(code, at, message, { remedy });
  }

  #report(
    code: DiagnosticCode,
    at: Placed | undefined,
    message: string,
    {
      remedy,
      on = 'value',
      other,
    }: { readonly remedy: string; readonly on?: 'key' | 'value'; readonly other?: Range | undefined },
  ): void {
    const { key, value }: Spot = at?.spot ?? {};
    const range = on === 'key' ? (key ?? value) : (value ?? key);
    const pointer = pointerOf(['overlaid']);
    this.#diagnostics.push({
      ...{ code, severity: 'error', pointer, message, remedy },
      ...(range === undefined ? {} : { span: spanOf(range) }),
      ...(other === undefined ? {} : { other: [{ pointer, span: spanOf(other), message: 'in the pack' }] }),
    });
  }
}

const nothing: Placed = { value: {}, spot: {} };

/** What both lists name, each once. */
function union(own: Placed | undefined, more: Placed | undefined): Placed {
  const items = itemsOf(own);
  const known = new Set(items.map(textOf));
  const added = itemsOf(more).filter((one) => !known.has(textOf(one)));
  return listOf([...items, ...added], own?.spot ?? more?.spot ?? {});
}
