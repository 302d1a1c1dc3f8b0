import type { Plan, Signal } from '@ferrule/engine';
import { type Actor, assign, createActor, setup } from 'xstate';

type Event =
  | { readonly type: 'done' }
  | { readonly type: 'recorded' }
  | { readonly type: 'judged'; readonly outcome: string };

interface Context {
  readonly lock: 'in' | 'out';
  readonly held: boolean;
  readonly tries: number;
}

const machines = setup({
  types: { context: {} as Context, events: {} as Event },
  guards: {
    isOut: ({ context }) => context.lock === 'out',
    isIn: ({ context }) => context.lock === 'in',
    conforms: ({ context, event }) =>
      context.held && event.type === 'judged' && event.outcome === 'conforming',
    mayTryAgain: ({ context }) => context.tries < 2,
  },
  actions: {
    putIn: assign({ lock: 'in' }),
    takeOut: assign({ lock: 'out' }),
    hold: assign({ held: true }),
    forget: assign({ held: false }),
    count: assign({ tries: ({ context }) => context.tries + 1 }),
    countAnew: assign({ tries: 0 }),
  },
});

type State = NonNullable<NonNullable<Parameters<typeof machines.createMachine>[0]['states']>[string]>;

/** A machine of the same sixty steps: a state for each step and phase, the law as guards, the cells as context. */
export function machineOf(plan: Plan) {
  const steps = plan.nodes.filter((node) => node.node === 'step');
  const main = steps.filter((step) => !step.path.includes('/'));
  const states: Record<string, State> = { held: {}, end: {} };
  for (const [place, { path }] of main.entries()) {
    const next = main[place + 1]?.path ?? 'end';
    if (path.startsWith('lock')) {
      states[path] = { on: { done: { guard: 'isOut', actions: 'putIn', target: next } } };
    } else if (path.startsWith('unlock')) {
      states[path] = { on: { done: { guard: 'isIn', actions: 'takeOut', target: next } } };
    } else {
      states[path] = { on: { recorded: { guard: 'isIn', actions: 'hold', target: `${path}:judge` } } };
      states[`${path}:judge`] = {
        on: {
          judged: [
            { guard: 'conforms', actions: 'countAnew', target: next },
            { guard: 'mayTryAgain', actions: 'count', target: `${path}:turn-back` },
            { target: 'held' },
          ],
        },
      };
      states[`${path}:turn-back`] = { on: { done: { actions: 'forget', target: path } } };
    }
  }
  const machine = machines.createMachine({
    context: { lock: 'out', held: false, tries: 0 },
    initial: main[0]?.path ?? 'end',
    states,
  });
  return {
    start: (): Actor<typeof machine> => createActor(machine).start(),
    /** The path of the step that the machine is at, as the plan has it. */
    placeOf: (actor: Actor<typeof machine>): string => {
      const [path = '', phase] = String(actor.getSnapshot().value).split(':');
      return phase === 'turn-back' ? `${path}/if-nonconforming/turn-back` : path;
    },
    eventOf: (signal: Signal): Event => {
      if (signal.signal === 'judged') return { type: 'judged', outcome: signal.outcome };
      if (signal.signal === 'done' || signal.signal === 'recorded') return { type: signal.signal };
      throw new Error(`the machine knows no ${signal.signal}`);
    },
  };
}
