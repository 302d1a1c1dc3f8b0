export { type Appended, createJob, JobFile, openJob } from './job-file.ts';
export { type JobHeader, jobFormat } from './job-header.ts';
export { isJobId, jobPath, listJobs, makeStore, storeFault } from './job-store.ts';
export {
  type InstrumentUse,
  instrumentsIn,
  type JobUsing,
  jobsUsing,
  usesOf,
} from './jobs-using.ts';
export { type JobFault, type JobReading, readJob, type TornLine } from './read-job.ts';
