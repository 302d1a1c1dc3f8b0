export {
  type Crowd,
  type Exploration,
  explore,
  firstWays,
  MOST_STATES,
  type Refutation,
  type Trace,
} from './explore.ts';
