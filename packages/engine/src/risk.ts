// Global risks stand apart: they are for planning a measurement, and no job needs them.
export { type GlobalRisks, globalRisks, type Interval, type Prior } from './measure/global-risks.ts';
