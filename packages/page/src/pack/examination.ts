import type { Signal } from '@ferrule/engine';
import type { OverlayNamed, Release } from '../link/documents.ts';

/** What the page reads of the documents that the server makes of a pack; /openapi.json of the server has them whole. */
interface PackHead {
  readonly deferral: string;
  readonly pack: string;
  readonly revision: string;
  readonly overlay?: OverlayNamed & { readonly title?: string; readonly release: Release };
  readonly title?: string;
  readonly notice?: string;
  readonly digest?: string;
  readonly release: Release;
}

export interface PlaceInPack {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** The line that is written there, from this column on. */
  readonly text?: { readonly from: number; readonly text: string };
}

export type Severity = 'error' | 'warning' | 'note';

export interface Finding {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly remedy?: string;
  readonly place?: PlaceInPack;
  /** Its place among the faults that the proof shows. */
  readonly fault?: number;
  readonly other: readonly { readonly message: string; readonly place?: PlaceInPack }[];
}

export type Standing = 'holds' | 'refuted' | 'as-far-as-seen';

export interface GuaranteeTold {
  readonly guarantee: string;
  readonly says: string;
  /** By variant. */
  readonly standing: Readonly<Record<string, Standing>>;
  readonly faults: readonly number[];
}

export interface ProvenVariant {
  readonly variant: string;
  readonly title: string;
  readonly steps: number;
  readonly states: number;
  readonly strikes: number;
  readonly milliseconds: number;
  readonly isCutShort: boolean;
  readonly statesAt: Readonly<Record<string, number>>;
  readonly unreached: readonly string[];
}

export interface ProvenProcedure {
  readonly procedure: string;
  readonly title: string;
  readonly variants: readonly ProvenVariant[];
  readonly guarantees: readonly GuaranteeTold[];
  readonly free: readonly string[];
  readonly aside: readonly string[];
}

export interface VisitTold {
  readonly node?: string;
  readonly title: string;
  readonly place?: PlaceInPack;
  readonly happens: readonly string[];
  readonly changes: readonly string[];
  readonly course: 'plain' | 'choice' | 'turn';
  /** How many of the signals have come about after it. */
  readonly until: number;
}

export interface FaultTold {
  readonly procedure: string;
  readonly variant: string;
  readonly variants: readonly string[];
  readonly bores: readonly number[];
  readonly guarantee: string;
  readonly means: string;
  readonly law?: PlaceInPack;
  readonly node?: string;
  /** Names of the cells that the guarantee looks at. */
  readonly watched: readonly string[];
  readonly signals: readonly Signal[];
  readonly visits: readonly VisitTold[];
  readonly next: string;
  readonly standing: readonly string[];
  readonly replayed: string;
  readonly mend: string;
}

export interface CheckDocument extends PackHead {
  readonly looked: {
    readonly files: readonly string[];
    readonly kinds: number;
    readonly isProved: boolean;
  };
  readonly findings: readonly Finding[];
  readonly procedures: readonly ProvenProcedure[];
  readonly faults: readonly FaultTold[];
}

export interface TrialTold {
  readonly trial: string;
  readonly says: string;
  readonly procedure: string;
  readonly variant: string;
  readonly facts: number;
  readonly failures: readonly string[];
  readonly place?: PlaceInPack;
}

export interface UnreachedTold {
  readonly kind: string;
  readonly why: string;
  readonly standing: 'unreached' | 'reached-for-some' | 'unreachable';
  readonly variants: readonly string[];
  readonly place?: PlaceInPack;
}

export interface CoverageTold {
  readonly procedure: string;
  readonly title: string;
  readonly variants: readonly {
    readonly variant: string;
    readonly title: string;
    readonly groups: readonly { readonly group: string; readonly reached: number; readonly of: number }[];
  }[];
  readonly unreached: readonly UnreachedTold[];
}

export interface TrialsDocument extends PackHead {
  readonly trials: readonly TrialTold[];
  readonly coverage: readonly CoverageTold[];
}

export interface Working {
  readonly doing: string;
  readonly done: number;
  readonly of: number;
}
