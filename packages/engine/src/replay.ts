// Taking up stored facts stands apart: it holds each against its form and the plan, which a page that starts its jobs, or
// gets them from a server which has checked them, need not carry. So does what a closed job hands on to others.
export { misformedFact } from './job/fact-forms.ts';
export { handedOn } from './job/handed-on.ts';
export { type Replayed, replay } from './job/replay.ts';
