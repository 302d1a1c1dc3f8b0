import { type Pack, pointerTo, type written } from '@ferrule/engine';

/** A step as it is written, and what it stands in. */
export interface WrittenStep {
  readonly step: written.Step;
  /** Of the step itself, RFC 6901. */
  readonly pointer: string;
  /** The procedure that it stands in; undefined in the rework of a hold that all procedures share. */
  readonly procedure?: string;
  /** It is done for one bore: in a loop over bores, or in a procedure that takes a bore. */
  readonly inBore: boolean;
  /** The nodes of the same list, this one among them. */
  readonly beside: readonly written.Node[];
  /** The step or hold whose rework it belongs to, as a pointer. */
  readonly reworkOf?: string;
}

/** A step, block, loop, choice, hold point or performed procedure as it is written, and what it stands in. */
export interface WrittenNode extends Omit<WrittenStep, 'step'> {
  readonly node: written.Node;
  /** It stands in something that is passed over for some variants or in some cases. */
  readonly isConditional: boolean;
}

interface Place {
  readonly procedure?: string;
  readonly inBore: boolean;
  readonly isConditional: boolean;
  readonly reworkOf?: string;
}

const steps = new WeakMap<Pack, readonly WrittenStep[]>();
const nodes = new WeakMap<Pack, readonly WrittenNode[]>();

/** Every step of a pack in the order of writing, those inside loops, choices and reworks too. Made once for a pack. */
export function writtenSteps(pack: Pack): readonly WrittenStep[] {
  const known = steps.get(pack);
  if (known !== undefined) return known;
  const found = writtenNodes(pack).flatMap(({ node, isConditional, ...place }): readonly WrittenStep[] =>
    'step' in node ? [{ step: node, ...place }] : [],
  );
  steps.set(pack, found);
  return found;
}

/**
 * Everything that stands in the `steps` of a pack, in the order of writing; what holds other nodes stands before them.
 * Made once for a pack.
 */
export function writtenNodes(pack: Pack): readonly WrittenNode[] {
  const known = nodes.get(pack);
  if (known !== undefined) return known;
  const found = [...inPack(pack)];
  nodes.set(pack, found);
  return found;
}

function* inPack(pack: Pack): Generator<WrittenNode> {
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    const pointer = pointerTo('/procedures', name);
    const inBore = procedure.takes?.includes('bore') ?? false;
    const place: Place = { procedure: name, inBore, isConditional: false };
    yield* inNodes(procedure.steps, `${pointer}/steps`, place);
    for (const [id, hold] of Object.entries(procedure.holds ?? {}))
      yield* inReleases(hold, pointerTo(pointer, 'holds', id), place);
  }
  for (const [id, hold] of Object.entries(pack.holds ?? {}))
    yield* inReleases(hold, pointerTo('/holds', id), { inBore: false, isConditional: false });
}

function* inReleases(hold: written.Hold, pointer: string, place: Place): Generator<WrittenNode> {
  for (const [index, release] of hold.release.entries()) {
    if ('rework' in release)
      yield* inNodes(release.rework, pointerTo(pointer, 'release', index, 'rework'), {
        ...place,
        reworkOf: pointer,
      });
  }
}

function* inNodes(nodes: readonly written.Node[], pointer: string, around: Place): Generator<WrittenNode> {
  for (const [index, node] of nodes.entries()) {
    const at = pointerTo(pointer, index);
    const isPassedOver = 'only-if' in node && node['only-if'] !== undefined;
    const place = { ...around, isConditional: around.isConditional || isPassedOver };
    yield { node, pointer: at, beside: nodes, ...place };
    if ('perform' in node || 'hold' in node) continue;
    if ('choose' in node) {
      const within = { ...place, isConditional: true };
      for (const [number, one] of node.cases.entries())
        yield* inNodes(one.steps, pointerTo(at, 'cases', number, 'steps'), within);
      yield* inNodes(node.otherwise ?? [], pointerTo(at, 'otherwise'), within);
    } else if ('each' in node) {
      const inBore = place.inBore || node.each === 'bore';
      yield* inNodes(node.steps, pointerTo(at, 'steps'), { ...place, inBore });
    } else if ('block' in node) yield* inNodes(node.steps, pointerTo(at, 'steps'), place);
    else yield* inRemedies(node, at, place);
  }
}

function* inRemedies(step: written.Step, pointer: string, place: Place): Generator<WrittenNode> {
  for (const [remedy, at] of writtenRemedies(step, pointer)) {
    if ('rework' in remedy)
      yield* inNodes(remedy.rework, pointerTo(at, 'rework'), { ...place, reworkOf: pointer });
  }
}

/** What a step says should follow what does not conform, is inconclusive or was struck, each with its pointer. */
export function writtenRemedies(
  step: written.Step,
  pointer: string,
): readonly (readonly [remedy: written.Remedy, pointer: string])[] {
  const bad = step['if-nonconforming'];
  const at = pointerTo(pointer, 'if-nonconforming');
  const found: (readonly [written.Remedy, string])[] = [];
  if (bad !== undefined && 'when-high' in bad)
    found.push([bad['when-high'], `${at}/when-high`], [bad['when-low'], `${at}/when-low`]);
  else if (bad !== undefined) found.push([bad, at]);
  for (const key of ['if-inconclusive', 'if-struck'] as const) {
    const remedy = step[key];
    if (remedy !== undefined) found.push([remedy, pointerTo(pointer, key)]);
  }
  return found;
}
