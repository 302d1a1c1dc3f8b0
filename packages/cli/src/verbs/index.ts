import { catalogue } from './catalogue.ts';
import { check } from './check.ts';
import { compare } from './compare.ts';
import { crank } from './crank.ts';
import { demo } from './demo.ts';
import { jobs } from './jobs.ts';
import { key } from './key.ts';
import { newVerb } from './new.ts';
import { rejudge } from './rejudge.ts';
import { release } from './release.ts';
import { run } from './run.ts';
import { serve } from './serve.ts';
import { sheet } from './sheet.ts';
import { start } from './start.ts';
import { trial } from './trial.ts';
import type { Verb } from './verb.ts';
import { verify } from './verify.ts';

/** Every verb, in the order in which help lists them. */
export const verbs: readonly Verb[] = [
  newVerb,
  check,
  trial,
  compare,
  run,
  jobs,
  rejudge,
  serve,
  crank,
  sheet,
  catalogue,
  key,
  release,
  verify,
  start,
  demo,
];
