import type { ExpressionFault, ExpressionFaultCode } from './fault.ts';
import { NAMED_FORMS, type NamedForm } from './operators.ts';

/** Collects the faults of one expression. */
export class ExpressionFaults {
  readonly list: ExpressionFault[] = [];

  /**
   * Adds a fault, with a suggestion or with how the named form that it is in is written. Always undefined, which is what
   * becomes of a faulty expression.
   */
  add(
    code: ExpressionFaultCode,
    at: string,
    found: string,
    expected: string,
    more?: string | { readonly form: NamedForm },
  ): undefined {
    const details =
      more === undefined
        ? {}
        : typeof more === 'string'
          ? { suggestion: more }
          : { writing: NAMED_FORMS[more.form] };
    this.list.push({ code, at, found, expected, ...details });
    return undefined;
  }
}
