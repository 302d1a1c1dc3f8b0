import { expect, test } from 'vitest';
import { Rig } from './rig.ts';

interface Event {
  readonly event: string;
  readonly id?: string;
  readonly data: Readonly<Record<string, unknown>>;
}

/** Reads events as the standard for server-sent events says; by Node’s fetch, which knows nothing of the server. */
async function* eventsOf(
  url: string,
  headers: Record<string, string> = {},
  signal?: AbortSignal,
): AsyncGenerator<Event> {
  const answer = await fetch(url, { headers, ...(signal === undefined ? {} : { signal }) });
  expect(answer.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
  let text = '';
  for await (const piece of answer.body?.pipeThrough(new TextDecoderStream()) ?? []) {
    text += piece;
    for (let end = text.indexOf('\n\n'); end >= 0; end = text.indexOf('\n\n')) {
      const fields = new Map(
        text
          .slice(0, end)
          .split('\n')
          .map((line): [string, string] => {
            const [, name = '', value = ''] = /^([^:]*): ?(.*)$/.exec(line) ?? [];
            return [name, value];
          }),
      );
      text = text.slice(end + 2);
      const data = fields.get('data');
      const id = fields.get('id');
      if (data === undefined) continue;
      yield {
        event: fields.get('event') ?? 'message',
        ...(id === undefined ? {} : { id }),
        data: JSON.parse(data),
      };
    }
  }
}

async function take(events: AsyncGenerator<Event>, count: number): Promise<readonly Event[]> {
  const taken: Event[] = [];
  while (taken.length < count) {
    const { value, done } = await events.next();
    if (done === true) break;
    taken.push(value);
  }
  return taken;
}

const note = (text: string) => ({ command: 'note', text });

test('two screens see the same job, also what another process adds', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const url = `${await rig.listen()}/jobs/${job}/stream`;
  const screens = [eventsOf(url), eventsOf(url)];
  for (const screen of screens) {
    const [first, started] = await take(screen, 2);
    expect(first).toMatchObject({ event: 'job', data: { job, release: { state: 'unsigned' } } });
    expect(first?.data['deferral']).toMatch(/^Ferrule never says/);
    expect(started).toMatchObject({ event: 'fact', id: '1', data: { seq: 1, fact: { kind: 'started' } } });
  }
  await rig.give(job, 'note-00001', 1, note('Here.'));
  const other = new Rig({}, rig.folder);
  await other.give(job, 'note-00002', 2, note('There.'));
  for (const screen of screens) {
    const added = await take(screen, 2);
    expect(added.map(({ id, data }) => [id, Object(data['fact']).text])).toEqual([
      ['2', 'Here.'],
      ['3', 'There.'],
    ]);
  }
  for (const screen of screens) await screen.return(undefined);
});

test('whoever comes back gets what was missed, and nothing twice', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  for (let seq = 1; seq < 6; seq++) await rig.give(job, `note-0000${seq}`, seq, note(`Note ${seq}.`));
  const url = `${await rig.listen()}/jobs/${job}/stream`;
  const back = eventsOf(url, { 'last-event-id': '3' });
  expect((await take(back, 4)).map(({ event, id }) => [event, id])).toEqual([
    ['job', undefined],
    ['fact', '4'],
    ['fact', '5'],
    ['fact', '6'],
  ]);
  await back.return(undefined);
  const after = eventsOf(`${url}?after=5`);
  expect((await take(after, 2)).map(({ id }) => id)).toEqual([undefined, '6']);
  await after.return(undefined);
  expect(await rig.get(`/jobs/${job}/stream`, { headers: { 'last-event-id': '-1' } })).toMatchObject({
    status: 400,
    json: { code: 'invalid-request', pointer: '/headers/last-event-id' },
  });
});

test('the stream of a closed job ends, and asking again says that nothing comes', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const url = `${await rig.listen()}/jobs/${job}/stream`;
  const events = eventsOf(url);
  await take(events, 2);
  await rig.give(job, 'abandon-01', 1, { command: 'abandon', reason: 'Another engine first.' });
  expect((await take(events, 9)).map(({ event }) => event)).toEqual(['fact', 'closed']);
  expect((await fetch(url, { headers: { 'last-event-id': '2' } })).status).toBe(204);
});

test('a server stops while a stream is open', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const base = await rig.listen();
  const events = eventsOf(`${base}/jobs/${job}/stream`);
  await take(events, 2);
  await rig.give(job, 'note-00001', 1, note('The last one.'));
  const before = Date.now();
  await rig.app.close();
  expect(Date.now() - before).toBeLessThan(3000);
  expect((await take(events, 9)).map(({ id }) => id)).toEqual(['2']);
  await expect(fetch(`${base}/jobs`)).rejects.toThrow();
  expect(rig.store.read(job).facts).toHaveLength(2);
});

test('no more streams are opened than there may be, and each that is left makes room', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const url = `${await rig.listen()}/jobs/${job}/stream`;
  const leaving = new AbortController();
  const open = Array.from({ length: 100 }, () => eventsOf(url, {}, leaving.signal));
  for (const one of open) await take(one, 1);
  const full = await fetch(url);
  expect(full.status).toBe(503);
  expect(await full.json()).toMatchObject({ code: 'too-many-streams' });
  leaving.abort();
  await expect
    .poll(async () => {
      const again = await fetch(url);
      await again.body?.cancel();
      return again.status;
    })
    .toBe(200);
});
