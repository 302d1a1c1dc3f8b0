export { type Exploration, explore, MOST_STATES, type Refutation, type Trace } from './explore.ts';
