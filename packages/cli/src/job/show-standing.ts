import {
  inOtherSystem,
  type Offer,
  type Offers,
  offers,
  type PlanHazard,
  type PlanTolerance,
  type StepNode,
  strikes,
  timesRunning,
  type WrittenVerdict,
} from '@ferrule/engine';
import {
  derivationOf,
  entryTitle,
  holderOf,
  inTitles,
  repeatsAsked,
  repeatsSoFar,
  stepPlace,
} from '@ferrule/print';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';
import { writeInstrument } from './describe-fact.ts';
import { shortNoticeOf } from './heading.ts';
import { writeClock } from './occasion.ts';
import { positionOf } from './position.ts';
import type { Session } from './session.ts';
import { sayCarry } from './take-over.ts';
import { waitAt, writeLeft } from './waiting.ts';
import { patternRows, worthSaying, writeSetting } from './write-setting.ts';

/** What was shown last, so that only what has changed is shown again. */
export interface Shown {
  readonly place: string;
  readonly asked: string;
}

export const nothingShown: Shown = { place: '', asked: '' };

/** Shows where the job stands and what is asked for, as far as it differs from what was shown before. */
export function showStanding(
  session: Session,
  before: Shown,
): { readonly shown: Shown; readonly now: Offers } {
  const { plan, job } = session;
  const now = offers(plan, job);
  const place = `${now.standing} ${now.hold?.id ?? ''} ${job.control.at}`;
  const asked = `${place} ${JSON.stringify(now.offers.filter(isMain))} ${now.blocked.length}`;
  if (place !== before.place) showPlace(session, now);
  if (asked !== before.asked) {
    for (const { message, remedy, about } of now.blocked) {
      session.say(wrap(inTitles(plan, message, about), 'Cannot go on: ', '  '));
      session.say(wrap(inTitles(plan, remedy, about), '  '));
    }
    const main = now.offers.find(isMain);
    if (now.standing === 'on-hold') showWays(session, now);
    else if (main !== undefined) showAsked(session, main);
    for (const offer of now.offers) if (offer.offer === 'omit') sayOmission(session, offer.role);
  }
  return { shown: { place, asked }, now };
}

/** An offer that carries the job on, as against what may be done besides. */
export const isMain = (offer: Offer): boolean => offer.offer !== 'park' && offer.offer !== 'omit';

/** The step that the job is at. */
export function stepAt({ plan, job }: Pick<Session, 'plan' | 'job'>): StepNode | undefined {
  const node = plan.nodes[job.control.at];
  return node?.node === 'step' ? node : undefined;
}

/** Whether a step only confirms something that has to hold before or after the work. */
export const isCondition = ({ path, act, entries }: StepNode): boolean =>
  /^(?:preliminary|afterwards)\/[^/]+$/.test(path) && act !== undefined && entries.length === 0;

const severity = ['danger', 'warning', 'caution', 'notice'] as const;

function sayHazards(say: (text: string) => void, hazards: readonly PlanHazard[]): void {
  const sorted = [...hazards].sort((a, b) => severity.indexOf(a.signal) - severity.indexOf(b.signal));
  for (const { signal, text } of sorted) say(wrap(text, `${signal.toUpperCase()}  `));
}

function showPlace(session: Session, now: Offers): void {
  const { plan, pack, job } = session;
  const say = (text: string): void => session.say(text);
  if (now.standing === 'closed') return;
  const node = plan.nodes[job.control.at];
  say('');
  for (const line of shortNoticeOf(plan)) say(line);
  if (node !== undefined) {
    const { step, of, within, isRework } = positionOf(plan, node);
    const where = [...within, ...(isRework ? ['rework'] : [])].join(' / ');
    say(wrap(where, `Step ${step} of ${of}  `));
  }
  if (plan.crank.positions.length > 0)
    say(
      wrap(
        `Crank: ${now.crank}${/^-?[\d.]+°$/.test(now.crank) ? ' after the firing TDC of cylinder 1' : ''}`,
      ),
    );
  if (now.standing === 'on-hold' && now.hold !== undefined) {
    say(wrap(now.hold.text, 'HOLD  '));
    if (now.hold.step !== '') say(wrap(`at ${stepPlace(plan, now.hold.step)}`, '      '));
    if (now.hold.safety) say(wrap('This hold protects people. It has no concession.', '      '));
    return;
  }
  if (now.standing === 'parked') return say('The job is parked.');
  if (now.standing === 'ready-to-close') return say('Every step is done.');
  if (now.step === undefined) return;
  sayHazards(say, now.step.hazards);
  const { says, title, act, uses } = now.step;
  sayTimes(session);
  say('');
  sayWork(say, says ?? title, node?.node === 'step' && isCondition(node));
  if (act?.act === 'turn-to') say(wrap(`The stroke is proved by ${act.provedBy}`, '  '));
  const titleOf = (id: string): string =>
    pack.equipment?.[id]?.title ?? pack.supplies?.[id]?.title ?? pack.instruments?.[id]?.title ?? id;
  if (uses.length > 0) say(wrap(`With: ${uses.map(titleOf).join('; ')}`, '  '));
}

/** How long ago steps were done whose time is still to be judged, with the limits of it. */
function sayTimes(session: Session): void {
  const { plan, job } = session;
  for (const { since, at, limits } of timesRunning(plan, job)) {
    const passed = Date.now() - Date.parse(at);
    const when =
      passed < 0
        ? `at ${writeClock(new Date(at))}, later than the clock shows now: it was set back`
        : `${writeLeft(passed)} ago`;
    const age = `${stepPlace(plan, since)} was done ${when}`;
    session.say(wrap([age, ...limits].join('; '), 'Time: ', '  '));
  }
}

/** The work in words; a list of what has to be in hand has a line for each thing. */
function sayWork(say: (text: string) => void, text: string, isConfirmed: boolean): void {
  const [, head = '', list = ''] = (isConfirmed ? /^(In hand[^:]*): (.*)\.$/s.exec(text) : null) ?? [];
  if (list === '') return say(wrap(text));
  say(`${head}:`);
  for (const thing of list.split('; ')) say(wrap(thing, '  - ', '    '));
}

function showAsked(session: Session, offer: Offer): void {
  const { plan, job } = session;
  const say = (text: string): void => session.say(text);
  const step = stepAt(session);
  switch (offer.offer) {
    case 'acknowledge':
      return say('  Type understood when you have read this.');
    case 'done': {
      if (offer.together !== undefined)
        say(wrap(`Together with ${holderOf(session, offer.together)}.`, '  '));
      if (offer.wrench !== undefined) {
        const used = job.instruments.filter((one) => one.kind === offer.wrench).at(-1);
        say(wrap(`With: ${used === undefined ? offer.wrench : writeInstrument(plan, used)}`, '  '));
      }
      for (const setting of worthSaying(offer.settings ?? []))
        say(wrap(`${writeSetting(setting)}.`, '  ', '    '));
      if (offer.pattern !== undefined && step?.act?.act === 'tighten')
        say(columns(patternRows(step.act.stages, offer.pattern)).replace(/^/gm, '    '));
      if (step !== undefined) sayWhatIsRead(session, step);
      const wait = waitAt(session);
      if (offer.wait !== undefined && wait !== undefined)
        say(`  Wait ${offer.wait}, until ${writeClock(wait.ends)}.`);
      if (offer.choice !== undefined) return sayChoice(session, offer.choice);
      if (offer.photograph === true)
        return say(
          wrap(
            'Type photo and the path of the picture file, such as photo pictures/bead.jpg. In a demonstration any file will do.',
            '  ',
          ),
        );
      if (step !== undefined && isCondition(step))
        return say(
          wrap(
            'Type done (or yes) when this holds. If it does not, stop and put it right first; quit leaves, abandon REASON closes the job unfinished.',
            '  ',
          ),
        );
      if (step?.act?.act === 'refer-to')
        return say('  Type done to confirm. It then stands under what falls due next.');
      return say('  Type done when it is done.');
    }
    case 'record':
      return showEntry(session, offer);
    case 'witness':
      return say(
        wrap(
          `To be witnessed by ${holderOf(session, offer.role)}: who did the work cannot. Type who and the name, then witness.`,
          '  ',
        ),
      );
    case 'resume':
      return say('  Type resume to go on. What has to hold is asked for first.');
    case 'close':
      return say('  Type close to close the job.');
    case 'release':
    case 'park':
    case 'omit':
      return undefined;
  }
}

/** What would be chosen from stock, and what to type when it is not there. */
function sayChoice(session: Session, choice: WrittenVerdict): void {
  const { value, limits } = choice;
  const chosen = choice.verdict === 'inconclusive' ? undefined : choice.chosen;
  const does = choice.verdict === 'conforming';
  session.say(wrap(`${capital(value ?? '')}${does ? '' : '.'}`, '  ', '    '));
  if (chosen !== undefined) {
    const sure =
      chosen.expandedUncertainty === undefined
        ? 'how uncertain that is, is not known'
        : `give or take ${chosen.expandedUncertainty} (U, k = 2)`;
    session.say(wrap(`to lie within ${limits}; fitted now: ${chosen.fitted}; ${sure}`, '    '));
  }
  const absent = does && chosen?.stays !== true ? 'A size that is not in the drawer: used-up SIZE. ' : '';
  session.say(
    wrap(
      `${absent}Type done when ${does ? 'it is in hand' : 'this is clear; the job then goes on as the procedure says'}.`,
      '  ',
    ),
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** The ways on from a hold: those that it still has, and those that are always there. */
function showWays(session: Session, now: Offers): void {
  const { plan } = session;
  const ways = now.offers.filter((one) => one.offer === 'release');
  if (ways.length === 0) session.say('  Nothing releases this hold any more.');
  session.say('  Ways on:');
  for (const way of ways) {
    const by = way.role === undefined ? '' : `by ${holderOf(session, way.role)}`;
    const to = way.goesTo === undefined ? '' : `then goes on at ${stepPlace(plan, way.goesTo)}`;
    const what = [by, to].filter((one) => one !== '').join('; ');
    session.say(wrap(what, `    release ${way.by} REASON  `, '        '));
  }
  if (strikes(plan, session.job.control).length > 0)
    session.say(wrap('if what led here was entered wrongly', '    strike NUMBER REASON  ', '        '));
  session.say(wrap('closes the job unfinished, for good', '    abandon REASON  ', '        '));
}

const sayOmission = (session: Session, role: string): void =>
  session.say(
    wrap(
      `If this does not apply, ${holderOf(session, role)} types who and the name, then omit and the reason.`,
      '  ',
    ),
  );

function showEntry(session: Session, offer: Extract<Offer, { offer: 'record' }>): void {
  const { plan, job } = session;
  const say = (text: string): void => session.say(text);
  const title = entryTitle(plan, offer.entry, Number.POSITIVE_INFINITY);
  switch (offer.of) {
    case 'reading': {
      const used = job.instruments.filter((one) => one.kind === offer.instrument).at(-1);
      const kind = plan.instruments.find((one) => one.id === offer.instrument);
      const instrument = used === undefined ? kind?.title : writeInstrument(plan, used);
      say(wrap(`${title}${offer.unit ? `, in ${offer.unit}` : ', a number'}`, '  '));
      if (instrument !== undefined) say(wrap(`with ${instrument}`, '    '));
      const { repeats } = offer;
      if (repeats !== undefined && repeats.taken.length > 0) {
        for (const one of repeatsSoFar(repeats)) say(wrap(one, '    ', '      '));
        return undefined;
      }
      if (repeats !== undefined) say(wrap(repeatsAsked(repeats), '    ', '      '));
      for (const one of offer.throughout ?? []) say(wrap(`throughout: ${one}`, '    ', '      '));
      if (offer.plausible !== undefined)
        say(wrap(`can be ${offer.plausible[0]} to ${offer.plausible[1]}`, '    '));
      const other = otherUnit(session, offer.entry);
      if (other !== undefined)
        say(wrap(`values in ${other} are taken too, when their unit is typed behind them`, '    '));
      sayCarry(session, offer);
      const tolerance = toleranceAt(session);
      if (tolerance !== undefined) sayLimits(session, tolerance, '    ');
      return undefined;
    }
    case 'observation':
      say(wrap(title, '  '));
      offer.answers?.forEach((answer, index) => {
        say(wrap(answer.text, `    ${index + 1}  `));
      });
      return undefined;
    case 'identity':
    case 'field':
      return say(
        wrap(`${title}${offer.example === undefined ? '' : `, written like ${offer.example}`}`, '  '),
      );
  }
}

/** The unit of the other system in which a reading can be typed as well: inch values for one in millimetres. */
function otherUnit({ plan }: Session, name: string): string | undefined {
  const entry = plan.entries.find((one) => one.name === name);
  const unit = entry?.entry === 'reading' ? inOtherSystem(entry.plausible[1])?.unit : undefined;
  return unit === undefined || unit.name === unit.symbol ? unit?.symbol : `${unit.name} (${unit.symbol})`;
}

/** What will be read once the work is done, with the limits that it will be judged by. */
function sayWhatIsRead(session: Session, step: StepNode): void {
  const { plan } = session;
  const readings = step.entries.flatMap((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' ? [entry] : [];
  });
  if (readings.length === 0) return;
  const what = readings
    .map(
      (one) =>
        `${entryTitle(plan, one.name, Number.POSITIVE_INFINITY)}${one.repeats ? `, ${one.repeats.times} times` : ''}`,
    )
    .join('; ');
  session.say(wrap(`Then it is read: ${what}`, '  ', '    '));
  const tolerance = toleranceAt(session);
  if (tolerance !== undefined) sayLimits(session, tolerance, '    ');
}

/** The tolerance that the step is judged by. */
function toleranceAt(session: Session): PlanTolerance | undefined {
  const check = stepAt(session)?.check;
  return check?.check === 'tolerance' ? session.plan.tolerances[check.tolerance] : undefined;
}

/** What is judged by which limits, and how a derived value comes about. */
function sayLimits(session: Session, tolerance: PlanTolerance, margin: string): void {
  session.say(wrap(`judged by ${tolerance.title}: ${tolerance.says}`, margin, `${margin}  `));
  const derived = derivationOf(session, tolerance);
  if (derived === undefined) return;
  const { name, title, formula, recorded } = derived;
  session.say(wrap(`${name} = ${formula}`, margin, `${margin}  `));
  if (title !== undefined) session.say(wrap(title, `${margin}  `));
  for (const one of recorded) session.say(wrap(one, `${margin}  `));
}
