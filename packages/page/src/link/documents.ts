import type { Command, Fact, InstrumentUsed, Origin, Refusal } from '@ferrule/engine';

/** What the page reads of the documents of the HTTP interface; /openapi.json of the server has them whole. */
export interface JobDocument {
  readonly job: string;
  readonly seq: number;
  readonly deferral: string;
  readonly notice?: string;
  readonly release: Release;
  readonly pack: {
    readonly id: string;
    readonly revision: string;
    readonly title: string;
    readonly digest: string;
  };
  readonly procedure: { readonly id: string; readonly title: string };
  readonly variant: { readonly id: string; readonly title: string };
  readonly persons: readonly { readonly role: string; readonly person: string }[];
  readonly state: JobState;
}

export interface Release {
  readonly state: 'unsigned' | 'signed' | 'broken';
  readonly approved: boolean;
  readonly words: string;
}

export type JobState = 'open' | 'parked' | 'held' | 'closed' | 'abandoned';

export interface JobSummary {
  readonly job: string;
  readonly pack: { readonly id: string; readonly revision: string };
  readonly procedure: string;
  readonly variant: string;
  readonly engine?: string;
  readonly started: string;
  readonly last: string;
  readonly facts: number;
  readonly state: JobState;
  readonly persons: readonly string[];
  readonly instruments: readonly string[];
  readonly parts: readonly string[];
  readonly lots: readonly string[];
  readonly holds: readonly string[];
  readonly granted: readonly { readonly of: string; readonly by: string }[];
  readonly nonconforming: number;
  readonly concessions: number;
}

export interface JobsDocument {
  readonly deferral: string;
  readonly jobs: readonly JobSummary[];
  readonly faults: readonly { readonly job: string; readonly line: number; readonly detail: string }[];
  readonly more?: true;
  /** Names that were asked for and that no job has, each with what there is. */
  readonly unknown?: readonly { readonly name: string; readonly says: string }[];
}

export interface ShelvedPack {
  readonly pack: string;
  readonly revision: string;
  readonly title?: string;
  readonly notice?: string;
  readonly digest?: string;
  readonly release: Release;
  readonly jobs: readonly {
    readonly procedure: string;
    readonly title: string;
    readonly variants: readonly { readonly variant: string; readonly title: string }[];
  }[];
  readonly diagnostics: { readonly errors: number; readonly warnings: number };
}

export interface OverlayNamed {
  readonly overlay: string;
  readonly revision: string;
}

export interface ShelvedOverlay extends OverlayNamed {
  readonly title?: string;
  readonly over?: { readonly pack: string; readonly revision: string };
  readonly release: Release;
  readonly diagnostics: { readonly errors: number; readonly warnings: number };
}

export interface PacksDocument {
  readonly deferral: string;
  readonly packs: readonly ShelvedPack[];
  /** A server of an older version does not list them. */
  readonly overlays?: readonly ShelvedOverlay[];
}

export interface PackDocument extends ShelvedPack {
  readonly deferral: string;
  readonly needs: Readonly<
    Record<
      string,
      {
        readonly roles: readonly { readonly id: string; readonly title: string; readonly needed: boolean }[];
        readonly instruments: readonly {
          readonly id: string;
          readonly title: string;
          readonly calibrated: boolean;
          /** Whether it has to be named before the job begins. */
          readonly needed: boolean;
        }[];
      }
    >
  >;
}

export interface FactsDocument {
  readonly seq: number;
  readonly facts: readonly Fact[];
  readonly more?: true;
}

export interface HandedOnDocument {
  readonly origin: Origin;
}

export interface AnswerDocument {
  readonly job: string;
  readonly seq: number;
  readonly facts: readonly Fact[];
}

/** A command as it is asked for over the network. */
export interface Asked {
  readonly id: string;
  readonly expectedSeq: number;
  readonly by: string;
  readonly command: Command;
}

export interface BeginRequest {
  readonly id: string;
  readonly by: string;
  readonly pack: string;
  readonly revision: string;
  readonly procedure: string;
  readonly variant: string;
  readonly persons: readonly { readonly role: string; readonly person: string }[];
  readonly instruments: readonly InstrumentUsed[];
}

/** Problem details (RFC 9457), as the server gives them. */
export interface Problem {
  readonly code: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly remedy: string;
  readonly refusals?: readonly Refusal[];
  /** What the reason is about, by name. */
  readonly operands?: Readonly<Record<string, unknown>>;
}

/** Jobs that are, or were, judged by another revision. */
export interface Rejudging {
  readonly rejudging: string;
  readonly pack: string;
  readonly revision: string;
  readonly title: string;
  readonly digest: string;
  readonly overlay?: OverlayNamed;
  readonly procedure?: string;
  readonly all: boolean;
  readonly release: string;
  readonly notice?: string;
  readonly begun: string;
  readonly ended?: string;
  readonly state: 'under-way' | 'done' | 'stopped' | 'cut-off' | 'failed';
  readonly jobs: { readonly total: number; readonly done: number };
  readonly jobsPerSecond?: number;
  readonly remainingSeconds?: number;
  readonly says?: readonly string[];
  readonly rowCount?: number;
  readonly failure?: string;
}

export interface RejudgingDocument extends Rejudging {
  readonly deferral: string;
}

export interface RejudgingsDocument {
  readonly deferral: string;
  readonly rejudgings: readonly Rejudging[];
}

export interface BeginRejudging {
  readonly id: string;
  readonly pack: string;
  readonly revision: string;
  readonly overlay?: OverlayNamed;
  readonly procedure?: string;
  readonly all?: true;
}
