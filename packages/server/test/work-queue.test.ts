import { afterEach, expect, test } from 'vitest';
import { type Limits, limits } from '../src/limits.ts';
import { GaveUp } from '../src/long-work/lane.ts';
import { WorkQueue } from '../src/long-work/work-queue.ts';
import { isProblem } from '../src/problem.ts';
import { scratch } from './rig.ts';

const queues: WorkQueue[] = [];
afterEach(async () => {
  for (const one of queues.splice(0)) await one.close();
});

function queueWith(more: Partial<Limits> = {}): WorkQueue {
  const queue = new WorkQueue({ ...limits, ...more });
  queues.push(queue);
  return queue;
}

/** Asks what an empty store has measured, which is nothing. */
function ask(queue: WorkQueue, key: string) {
  const asked = queue.ask('readings', key, { store: scratch(), pack: 'valve-clearance', of: 'gap' });
  if (isProblem(asked)) throw new Error(asked.detail);
  return asked;
}

test('one piece after the other; the same under way or waiting is the same', async () => {
  const queue = queueWith();
  const [one, other] = ['one', 'other'].map((key) => ask(queue, key));
  expect(ask(queue, 'one')).toBe(one);
  expect(other?.working()).toEqual({ doing: 'waiting for what was asked for before', done: 0, of: 0 });
  expect(one?.working()).toEqual({ doing: 'beginning', done: 0, of: 0 });
  expect(await one?.answer).toEqual({ nothing: 'no-job' });
  expect([one?.working().doing, other?.working().doing]).toEqual(['reading jobs', 'beginning']);
  expect(await other?.answer).toEqual({ nothing: 'no-job' });
  expect(ask(queue, 'one')).not.toBe(one);
});

test('one that is stopped, under way or waiting, makes room for the next', async () => {
  const queue = queueWith();
  const [running, waiting, last] = ['running', 'waiting', 'last'].map((key) => ask(queue, key));
  await running?.stop();
  await waiting?.stop();
  for (const one of [running, waiting]) await expect(one?.answer).rejects.toMatchObject({ code: 'stopping' });
  expect(await last?.answer).toEqual({ nothing: 'no-job' });
});

test('what takes too long is given up, and the next one is begun', async () => {
  const queue = queueWith({ longWorkTime: 1 });
  const before = queue.ask('behaviour', 'one', { before: '{}', after: '{}' });
  if (isProblem(before)) throw new Error(before.detail);
  await expect(before.answer).rejects.toBeInstanceOf(GaveUp);
  expect(await ask(queue, 'one').answer).toEqual({ nothing: 'no-job' });
});

test('what goes wrong is told to whoever asks, and leaves the next one alone', async () => {
  const queue = queueWith();
  const broken = queue.ask('behaviour', 'one', { before: '{}', after: '{}' });
  if (isProblem(broken)) throw new Error(broken.detail);
  await expect(broken.answer).rejects.toThrow('cannot be read from its bundle');
  expect(await ask(queue, 'one').answer).toEqual({ nothing: 'no-job' });
});

test('a queue that is closed takes nothing in, and ends what it has', async () => {
  const queue = queueWith();
  const [running, waiting] = ['running', 'waiting'].map((key) => ask(queue, key));
  await queue.close();
  for (const one of [running, waiting])
    await expect(one?.answer).rejects.toMatchObject({ code: 'stopping', detail: 'The server is stopping.' });
  expect(queue.ask('behaviour', 'one', { before: '{}', after: '{}' })).toMatchObject({ code: 'stopping' });
});

test('so many of a kind may wait, and no more; other kinds have a lane of their own', async () => {
  const queue = queueWith({ longWork: 1 });
  const one = ask(queue, 'one');
  const full = queue.ask('readings', 'other', { store: scratch(), pack: 'p', of: 'o' });
  expect(full).toMatchObject({ code: 'too-much-waiting' });
  const asked = queue.ask('check', 'one', { folder: scratch(), pack: 'p', revision: '1.0.0' });
  if (isProblem(asked)) throw new Error(asked.detail);
  expect(JSON.parse(await asked.answer)).toMatchObject({ pack: 'p', looked: { isProved: false } });
  await one.answer;
});
