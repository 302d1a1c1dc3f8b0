export { type BehaviourOptions, compareBehaviour } from './compare-behaviour.ts';
