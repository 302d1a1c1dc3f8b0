import type {
  ComparedBehaviour,
  ComparedOtherTrial,
  ComparedPermitted,
} from './generated/comparison-document.ts';

/** The rule of a trial of the older revision that comes out otherwise under the newer one. */
export const otherTrialRule = {
  id: 'other-trial',
  shortDescription: { text: 'A trial of the older revision does not come to the same under the newer one.' },
  help: {
    text: 'Where that is meant, the newer revision has a trial of its own for it; else it has lost something.',
  },
  defaultConfiguration: { level: 'warning' },
} as const;

/** With a full stop at its end (clause 3.11.11). */
const sentence = (text: string): string => text.replace(/[^.!?…”]$/, '$&.');

/** What a change lets happen: the way to it as a code flow, where there is one, and in words what was found. */
export function permittedIn({ found, says, way, procedure, variant }: ComparedPermitted) {
  const where = [procedure, variant].filter((one) => one !== undefined).join(', ');
  return {
    ...(way === undefined
      ? {}
      : {
          codeFlows: [
            {
              message: { text: sentence(`${says} The way there${where === '' ? '' : ` in ${where}`}`) },
              threadFlows: [
                {
                  locations: way.map((step) => ({
                    location: { message: { text: sentence([step.says, ...step.happens].join('; ')) } },
                    executionOrder: step.from,
                  })),
                },
              ],
            },
          ],
        }),
    permits: { found, says },
  };
}

/** A trial of the older revision that comes out otherwise. */
export function otherTrialResult(
  { trial, procedure, variant, now, because }: ComparedOtherTrial,
  ruleIndex: number,
) {
  const what =
    now === 'cannot-run'
      ? 'cannot be run under the newer revision'
      : 'comes out otherwise under the newer revision';
  return {
    ruleId: otherTrialRule.id,
    ruleIndex,
    level: 'warning',
    message: {
      text: sentence(`The trial ${trial} (${procedure}, ${variant}) ${what}: ${because.join('; ')}`),
    },
    locations: [{ logicalLocations: [{ fullyQualifiedName: `/trials/${trial}` }] }],
    partialFingerprints: { 'changeAndName/v1': `${otherTrialRule.id} trial ${trial} ` },
  };
}

/** That not all was looked at, which whoever reads the results has to know. */
export const cutShortNotice = ({ cutShort }: ComparedBehaviour) =>
  cutShort
    ? {
        toolExecutionNotifications: [
          {
            level: 'warning',
            message: {
              text: 'The time was over before everything had been looked at: what is not said here may still be so.',
            },
          },
        ],
      }
    : {};
