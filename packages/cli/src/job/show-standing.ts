import { type Offer, type Offers, offers, type PlanHazard } from '@ferrule/engine';
import { wrap } from '../terminal/wrap.ts';
import { writeInstrument } from './describe-fact.ts';
import { positionOf } from './position.ts';
import type { Session } from './session.ts';
import { entryTitle } from './titles.ts';

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
    for (const { message, remedy } of now.blocked) {
      session.say(wrap(message, 'Cannot go on: ', '  '));
      session.say(wrap(remedy, '  '));
    }
    const main = now.offers.find(isMain);
    if (main !== undefined) showAsked(session, main, now);
    for (const offer of now.offers) if (offer.offer === 'omit') sayOmission(session, offer.role);
  }
  return { shown: { place, asked }, now };
}

/** An offer that carries the job on, as against what may be done besides. */
export const isMain = (offer: Offer): boolean => offer.offer !== 'park' && offer.offer !== 'omit';

const severity = ['danger', 'warning', 'caution', 'notice'] as const;

function sayHazards(say: (text: string) => void, hazards: readonly PlanHazard[]): void {
  const sorted = [...hazards].sort((a, b) => severity.indexOf(a.signal) - severity.indexOf(b.signal));
  for (const { signal, text } of sorted) say(wrap(text, `${signal.toUpperCase()}  `));
}

function showPlace(session: Session, now: Offers): void {
  const { plan, job } = session;
  const say = (text: string): void => session.say(text);
  const node = plan.nodes[job.control.at];
  say('');
  if (node !== undefined) {
    const { step, of, within, isRework } = positionOf(plan, node);
    const where = [...within, ...(isRework ? ['rework'] : [])].join(' / ');
    say(wrap(where, `Step ${step} of ${of}  `));
  }
  if (plan.crank.positions.length > 0) say(`Crank: ${now.crank}`);
  if (now.standing === 'on-hold' && now.hold !== undefined) {
    say(wrap(now.hold.text, 'HOLD  '));
    if (now.hold.safety) say('      This hold protects people. It has no concession.');
    return;
  }
  if (now.standing === 'parked') return say('The job is parked.');
  if (now.standing === 'ready-to-close') return say('Every step is done.');
  if (now.step === undefined) return;
  sayHazards(say, now.step.hazards);
  const { says, title, act, uses } = now.step;
  say('');
  say(wrap(says ?? title));
  if (act?.act === 'turn-to') say(wrap(`The stroke is proved by ${act.provedBy}`, '  '));
  if (uses.length > 0) say(wrap(`With: ${uses.map((id) => session.titles.get(id) ?? id).join('; ')}`, '  '));
}

function showAsked(session: Session, offer: Offer, now: Offers): void {
  const { plan, job } = session;
  const say = (text: string): void => session.say(text);
  switch (offer.offer) {
    case 'acknowledge':
      return say('  Type understood when you have read this.');
    case 'done': {
      if (offer.together !== undefined) say(`  Together with ${holderOf(session, offer.together)}.`);
      if (offer.wrench !== undefined) {
        const used = job.instruments.filter((one) => one.kind === offer.wrench).at(-1);
        say(`  With: ${used === undefined ? offer.wrench : writeInstrument(plan, used)}`);
      }
      if (offer.wait !== undefined) say(`  Wait ${offer.wait}.`);
      if (offer.photograph === true) return say('  Type photo and the name of the picture file.');
      return say('  Type done when it is done.');
    }
    case 'record':
      return showEntry(session, offer);
    case 'witness':
      return say(
        `  To be witnessed by ${holderOf(session, offer.role)}: who did the work cannot. Type who and the name, then witness.`,
      );
    case 'release':
      say('  Ways on:');
      for (const way of now.offers) {
        if (way.offer !== 'release') continue;
        const by = way.role === undefined ? '' : `  by ${holderOf(session, way.role)}`;
        const to = way.goesTo === undefined ? '' : `  goes on at ${way.goesTo}`;
        say(`    release ${way.by} REASON${by}${to}`);
      }
      return say('    abandon REASON  closes the job unfinished');
    case 'resume':
      return say('  Type resume to go on. What has to hold is asked for first.');
    case 'close':
      return say('  Type close to close the job.');
    case 'park':
    case 'omit':
      return undefined;
  }
}

const sayOmission = (session: Session, role: string): void =>
  session.say(`  If this does not apply, ${holderOf(session, role)} types omit and the reason.`);

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
      if (offer.plausible !== undefined) say(`    can be ${offer.plausible[0]} to ${offer.plausible[1]}`);
      return sayLimits(session);
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

/** The tolerance that the step is judged by. */
function sayLimits(session: Session): void {
  const { plan, job } = session;
  const node = plan.nodes[job.control.at];
  const check = node?.node === 'step' ? node.check : undefined;
  const tolerance = check?.check === 'tolerance' ? plan.tolerances[check.tolerance] : undefined;
  if (tolerance !== undefined) session.say(wrap(`judged by ${tolerance.title}: ${tolerance.says}`, '    '));
}

/** Who fills a role in this job, for a person. */
export function holderOf({ plan, job }: Pick<Session, 'plan' | 'job'>, role: string): string {
  const title = plan.roles.find((one) => one.id === role)?.title ?? role;
  const holders = job.started.persons.filter((one) => one.role === role).map((one) => one.person);
  return `${holders.join(' or ') || 'nobody'} (${title})`;
}
