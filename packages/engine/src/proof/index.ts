export type { Crowd } from './crowd.ts';
export { type Exploration, type ExploreOptions, explore, MOST_STATES } from './explore.ts';
export { firstWays } from './first-ways.ts';
export type { Refutation } from './refutation.ts';
export { type ShortestWay, shortestWay } from './shortest-way.ts';
export { spellOut, type Trace } from './way.ts';
