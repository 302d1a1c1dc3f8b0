export {
  compareDiagnostics,
  type Diagnostic,
  type DiagnosticCode,
  diagnosticCodes,
  type RelatedPlace,
  type Severity,
  type Span,
} from './diagnostic.ts';
export type * as written from './generated/document.ts';
export type { Answers, InstrumentInUse, Pack, Procedure, Trial } from './generated/document.ts';
export { namedSections } from './named-sections.ts';
export type * from './plan.ts';
export { ENTRY, entryValues, PART, partValues, TRUTH, truthValues } from './plan.ts';
export { pointerTo, valueAt } from './pointer.ts';
export { reliedOn } from './relied-on.ts';
export { type Details, Report, saysUnknown } from './report.ts';
export { type Resolved, type ResolveRequest, resolve } from './resolve.ts';
export { type ResolvedVariant, resolveVariant, writeAngle } from './resolve-variant.ts';
export { exampleOf, hasShape, readShape, type Shape } from './shape.ts';
