// A whole job in a page: the engine decides in the browser, and no code is made from text, so the page runs under a
// Content-Security-Policy without unsafe-eval. Texts of the pack go in as text, never as markup.
import { decide, offers, resolve, start } from './engine/index.js';
import { validate } from './engine/validate.js';

const element = (id) => document.getElementById(id);
const show = (id, text) => {
  element(id).textContent = text;
};

const bundle = await (await fetch('bundle.json')).json();
const { pack, diagnostics = [] } = validate(bundle.document);
const resolved = pack && resolve(pack, { procedure: 'set-clearances', variant: 'marram-four' });
const plan = resolved?.plan;
if (plan === undefined) {
  const fault = [...diagnostics, ...(resolved?.diagnostics ?? [])][0];
  show('title', `The pack cannot be used: ${fault?.message ?? 'no reason given'}`);
} else {
  const occasion = () => ({ at: new Date().toISOString(), by: 'technician A', id: crypto.randomUUID() });
  const begun = start(
    plan,
    {
      bundle: bundle.digest,
      persons: [
        { role: 'technician', person: 'technician A' },
        { role: 'lead', person: 'lead C' },
      ],
      instruments: [
        { kind: 'feeler-gauge', identity: 'FG-1' },
        { kind: 'torque-wrench', identity: 'TW-2', due: '2099-12-31' },
      ],
    },
    occasion(),
  );
  if (begun.refusals !== undefined) show('title', begun.refusals[0].message);
  else work(plan, begun.job, occasion);
}

function work(plan, begun, occasion) {
  let job = begun;
  show('notice', plan.pack.notice ?? '');

  function give(command) {
    const decided = decide(plan, job, command, occasion(), job.seq);
    if (decided.refusals !== undefined) {
      const [{ message, remedy }] = decided.refusals;
      show('answer', `${message} ${remedy}`);
      return;
    }
    // A host sends decided.facts to its store here, and goes on only when they are there.
    job = decided.job;
    show('answer', '');
    draw();
  }

  function button(label, command) {
    const made = document.createElement('button');
    made.type = 'button';
    made.textContent = label;
    made.addEventListener('click', () => give(command()));
    return made;
  }

  function controlsFor(offer) {
    switch (offer.offer) {
      case 'acknowledge':
        return [button('Read and understood', () => ({ command: 'acknowledge', step: offer.step }))];
      case 'done':
        return [button('Done', () => ({ command: 'done', step: offer.step }))];
      case 'record': {
        const label = document.createElement('label');
        const input = document.createElement('input');
        input.name = offer.entry;
        label.append(`${offer.title}${offer.unit === undefined ? '' : `, in ${offer.unit}`} `, input);
        const record = () => ({ command: 'record', entry: offer.entry, value: input.value });
        return [label, button('Enter', record)];
      }
      case 'close':
        return [button('Close the job', () => ({ command: 'close' }))];
      default:
        return [];
    }
  }

  function draw() {
    const now = offers(plan, job);
    show(
      'title',
      now.hold?.text ?? now.step?.title ?? (now.standing === 'closed' ? 'Closed' : 'Every step is done'),
    );
    show('says', now.step?.says ?? '');
    show('progress', `${now.progress.done} of ${now.progress.of} steps. Crank: ${now.crank}.`);
    element('hazards').replaceChildren(
      ...(now.step?.hazards ?? []).map((hazard) => {
        const item = document.createElement('li');
        item.textContent = `${hazard.signal.toUpperCase()}: ${hazard.text}`;
        return item;
      }),
    );
    element('asked').replaceChildren(...now.offers.flatMap(controlsFor));
    if (now.offers.length === 0) show('answer', now.blocked.map((one) => one.message).join(' '));
  }
  element('asked').addEventListener('submit', (event) => event.preventDefault());
  draw();
}
