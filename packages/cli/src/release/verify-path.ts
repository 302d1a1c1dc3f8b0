import type { VerifyOptions } from '@ferrule/records';
import { jobKeys } from '@ferrule/signing';
import { recordsAt, verifyJobs } from '../job/verify-jobs.ts';
import { callFault } from '../pack/open-pack.ts';
import { policyFor } from '../pack/policy-for.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import { expected, keysOf, type VerifyCall, verifyFolder } from './verify-folder.ts';

/** Says whether what stands at a path is as it was signed or recorded: the folder of a pack, or records of jobs. */
export async function verifyPath(what: string, call: VerifyCall): Promise<ExitCode> {
  const records = recordsAt(what);
  if (records === undefined) return verifyFolder(what, call);
  const named = keysOf(call.key ?? []);
  if ('exitCode' in named) return named.exitCode;
  const expect = expected(call.expect);
  if (expect !== undefined && 'exitCode' in expect) return expect.exitCode;
  if (call.policy !== undefined && named.length > 0)
    return callFault('either --policy or --key says whose signatures count.').exitCode;
  const found = call.policy === undefined ? {} : await policyFor(what, call.policy, call.format);
  if ('exitCode' in found) return found.exitCode;
  const keys = found.policy === undefined ? named : jobKeys(found.policy);
  const options: VerifyOptions = {
    ...(found.policy === undefined && named.length === 0 ? {} : { keys }),
    ...(expect === undefined ? {} : { expect: expect.digest }),
  };
  return verifyJobs(records, options, call.format);
}
