export { AlikeLines } from './alike-lines.ts';
export { type KeptLock, keepLocked } from './file-lock.ts';
export { folderStore } from './folder-store.ts';
export {
  type Exported,
  type Imported,
  jobExportFormat,
  verifyExport,
} from './job-export.ts';
export { type JobHeader, jobFormat } from './job-header.ts';

export { type JobStatement, jobStatementFormat, jobStatementType } from './job-statement.ts';
export type { Appended, Created, JobEnd, JobStore } from './job-store.ts';

export {
  type DayOfUse,
  type Granted,
  type JobListing,
  type JobQuery,
  type JobState,
  type JobSummary,
  jobStates,
  type RoleTaken,
  stateOf,
} from './job-summary.ts';
export {
  type FindingCode,
  findingCodes,
  type JobFinding,
  type JobVerification,
} from './job-verification.ts';
export {
  type Days,
  type InstrumentUse,
  instrumentsIn,
  type JobUsing,
  jobsUsing,
  usesOf,
} from './jobs-using.ts';
export { askedDigest } from './lines.ts';
export { makeFolder } from './make-folder.ts';
export { peekHeader } from './peek-header.ts';
export type { Photograph, StoredPhotograph } from './photographs.ts';
export { type JobFault, type JobReading, readJob, readNamedJob, type TornLine } from './read-job.ts';
export { type SignatureSaid, saidOfPack, saidOfRecord } from './said-of-signatures.ts';
export type { Signed } from './sign-job.ts';
export { isJobId, jobPath, listJobs, makeStore, storeFault } from './store-folder.ts';
export { type UnknownValue, unknownValue } from './unknown-value.ts';
export type { VerifyOptions } from './verify-record.ts';
export { writePieces } from './write-pieces.ts';
