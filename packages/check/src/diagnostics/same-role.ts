import { pointerTo } from '@ferrule/engine';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameRole: DiagnosticKind = {
  code: 'same-role',
  severity: 'warning',
  says: 'Somebody else is to look or to help, in the only role that there is, or in the role of who has done the work.',
  marks: 'value',
  examine: sameRoles,
};

function* sameRoles({ pack }: Subject): Generator<Finding> {
  const roles = Object.keys(pack.roles ?? {});
  for (const { node, pointer } of writtenNodes(pack)) {
    if (!('step' in node)) continue;
    const { witness, 'together-with': together } = node;
    if (witness !== undefined && witness === together)
      yield {
        pointer: pointerTo(pointer, 'witness'),
        message: `A ${witness} does this step together with another person, and who does it cannot witness it: another ${witness} would be needed.`,
        remedy: 'Name another role, or leave one of the two out.',
        other: [{ pointer: pointerTo(pointer, 'together-with'), message: 'who does it too' }],
      };
    else if (witness !== undefined && roles.length === 1)
      yield {
        pointer: pointerTo(pointer, 'witness'),
        message: `${witness} is the only role, so who does the work would witness it: the witness is another person.`,
        remedy: 'Declare a role for the witness, and ask for it under persons.',
        other: [{ pointer: '/roles', message: 'the roles' }],
      };
  }
}
