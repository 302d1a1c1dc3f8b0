import { fill } from './fill.ts';
import type { Frame } from './frame.ts';
import type { Hold, HoldPoint } from './generated/document.ts';
import { join, type Open, type OpenNode } from './outline.ts';
import type { HoldNode, PlanHold, PlanRelease } from './plan.ts';
import { pointerTo } from './pointer.ts';
import { type Reworks, saysResumable } from './reworks.ts';
import type { Writing } from './writing.ts';

type Release = Hold['release'][number];
type ReworkRelease = Extract<Release, { readonly rework: unknown }>;

/** The holds of a plan, one for each place at which a declared hold is used. */
export class PlanHolds {
  /** Every plan has the first one: where a struck entry cannot be taken again, the job halts there. */
  readonly list: Open<PlanHold>[] = [
    {
      id: 'struck-entry',
      text: 'An entry was struck, and the present states do not let it be taken again. What relied on it is not proved.',
      safety: true,
      node: -1,
      releases: [],
      pointer: '',
    },
  ];
  readonly #byPlace = new Map<string, number>();
  readonly #writing: Writing;
  readonly #reworks: Reworks;

  constructor(writing: Writing, reworks: Reworks) {
    this.#writing = writing;
    this.#reworks = reworks;
  }

  /** Writes a hold point: a node at which the job waits for whoever releases it. */
  write(parent: number, written: HoldPoint, path: string, frame: Frame, pointer: string): number | undefined {
    const { outline } = this.#writing;
    const node: Open<HoldNode> = {
      node: 'hold',
      hold: -1,
      ...outline.base(parent, written.hold, join(path, written.hold), pointer),
    };
    if (!outline.add(node, frame)) return undefined;
    node.hold = this.at(node, written.hold, frame, pointerTo(pointer, 'hold'), true) ?? 0;
    outline.close(node);
    return node.index;
  }

  /**
   * The hold of this name at a node, made when it is asked for first, with the reworks that release it written out
   * inside the node. A hold point is released by who witnesses it, any other by who accepts the result. Undefined, with
   * a diagnostic, for a hold that is not declared.
   */
  at(node: OpenNode, id: string, frame: Frame, pointer: string, isPoint: boolean): number | undefined {
    const place = `${node.index} ${id}`;
    const known = this.#byPlace.get(place);
    if (known !== undefined) return known;
    const { variant, report } = this.#writing;
    const found = this.#declared(id, frame, pointer);
    if (found === undefined) return undefined;
    const { hold, where } = found;
    const index = this.list.length;
    this.#byPlace.set(place, index);
    const made: Open<PlanHold> = {
      id,
      text: fill(hold.text, frame, variant, pointerTo(where, 'text'), report),
      safety: hold.safety !== undefined,
      node: node.index,
      releases: [],
      pointer: where,
    };
    this.list.push(made);
    made.releases = hold.release.flatMap((release, number) => {
      const at = pointerTo(where, 'release', number);
      if (!('rework' in release)) return this.#releaseByPerson(id, made.safety, release, isPoint, at);
      return this.#releaseByRework(id, release, `${id}-${number + 1}`, node, frame, at, pointer) ?? [];
    });
    return index;
  }

  #releaseByPerson(
    id: string,
    safety: boolean,
    release: Exclude<Release, ReworkRelease>,
    isPoint: boolean,
    pointer: string,
  ): PlanRelease {
    const { names, report } = this.#writing;
    if ('witness' in release) {
      const at = pointerTo(pointer, 'witness');
      names.role(release.witness, at);
      if (!isPoint)
        report.add('wrong-form', at, 'A witness does not put a result right.', {
          remedy: 'Release it by concession or by rework.',
        });
      return { by: 'witness', role: release.witness };
    }
    const at = pointerTo(pointer, 'concession');
    names.role(release.concession, at);
    if (safety)
      report.add('safety-concession', at, `${id} is marked as safety, and safety has no concession.`, {
        remedy: 'Release it by rework only.',
      });
    if (isPoint)
      report.add('wrong-form', at, 'A hold point has no result that a concession could accept.', {
        remedy: 'Release it by witness.',
      });
    return { by: 'concession', role: release.concession };
  }

  #releaseByRework(
    id: string,
    release: ReworkRelease,
    label: string,
    node: OpenNode,
    frame: Frame,
    pointer: string,
    usedAt: string,
  ): PlanRelease | undefined {
    const { outline, names, report } = this.#writing;
    names.role(release.by, pointerTo(pointer, 'by'));
    const target = outline.outward(node, release['resume-at']);
    if (target === undefined) {
      report.add(
        'resume-at',
        pointerTo(pointer, 'resume-at'),
        `${release['resume-at']} stands neither before a step that leads to ${id}, in the block of that step, nor before a block around it.`,
        {
          remedy: saysResumable(release['resume-at'], outline.before(node)),
          other: [{ pointer: usedAt, message: 'where the hold is used' }],
        },
      );
      return undefined;
    }
    const { counter, times } = this.#reworks.counter(
      `${node.path} ${id}`,
      release.times,
      outline.nodes[target],
      pointerTo(pointer, 'times'),
    );
    const body = this.#reworks.body(node, label, release, target, frame, pointer);
    if (body < 0) return undefined;
    return {
      by: 'rework',
      ...(release.by === undefined ? {} : { role: release.by }),
      body,
      counter,
      times,
    };
  }

  /** A hold that the procedure declares, or one around it, or the pack. */
  #declared(
    id: string,
    frame: Frame,
    pointer: string,
  ): { readonly hold: Hold; readonly where: string } | undefined {
    const { pack, report } = this.#writing;
    for (let one: Frame | undefined = frame; one !== undefined; one = one.outer) {
      const own = one.document.holds;
      const hold = own !== undefined && Object.hasOwn(own, id) ? own[id] : undefined;
      if (hold !== undefined) {
        report.use(`procedures/${one.procedure}/holds`, id);
        return { hold, where: pointerTo(one.pointer, 'holds', id) };
      }
    }
    const holds = pack.holds ?? {};
    const hold = Object.hasOwn(holds, id) ? holds[id] : undefined;
    if (hold === undefined) {
      const all = new Set([...Object.keys(holds), ...Object.keys(frame.document.holds ?? {})]);
      report.unknown('hold', id, all, pointer);
      return undefined;
    }
    report.use('holds', id);
    return { hold, where: pointerTo('/holds', id) };
  }
}
