// Generated from schema/card.schema.yaml by `npm run generate`. Do not edit.

/**
 * RFC 3339.
 */
export type CardAt = string;
/**
 * Number of the fact in the record.
 */
export type CardSeq = number;
export type CardWord = 'conforming' | 'nonconforming' | 'inconclusive';
/**
 * Whether it counts at the end. Superseded: it was taken or given again, or a rework has undone what it was about.
 */
export type CardState = 'counts' | 'struck' | 'superseded';

/**
 * What a job has come to, for whoever reads it later. A member that is missing has nothing to say.
 */
export interface CardDocument {
  /**
   * Version of this document.
   */
  readonly format: 'ferrule-card-1';
  /**
   * Whom Ferrule defers to. It is shown wherever the card is.
   */
  readonly deferral: string;
  /**
   * The notice of the pack. It is shown wherever the card is.
   */
  readonly notice?: string;
  readonly job: CardJob;
  readonly pack: CardPack;
  readonly release: CardSigned;
  readonly signature: CardSigned;
  readonly engine: CardEngine;
  /**
   * What the customer complains of.
   */
  readonly complaint: readonly CardWritten[];
  /**
   * What was found to lead to it.
   */
  readonly cause: readonly CardWritten[];
  /**
   * What was done about it.
   */
  readonly correction: readonly CardWritten[];
  /**
   * Who had which role.
   */
  readonly persons: readonly CardPerson[];
  /**
   * The instruments of the job, each as it was when it came in.
   */
  readonly instruments: readonly CardInstrument[];
  /**
   * The bores that anything here is about, ascending.
   */
  readonly bores: readonly number[];
  /**
   * Parts with a serial number, by part and bore.
   */
  readonly parts: readonly CardPart[];
  /**
   * Parts without a serial number that were renewed.
   */
  readonly renewed: readonly CardRenewed[];
  /**
   * What counts at the end, as received, baseline and as left side by side.
   */
  readonly measured: readonly CardMeasured[];
  /**
   * Every reading in the order of taking, those that no longer count among them.
   */
  readonly readings: readonly CardReading[];
  /**
   * Every verdict in the order of giving, those that no longer count among them.
   */
  readonly verdicts: readonly CardVerdict[];
  /**
   * Every answer in the order of giving, those that no longer count among them.
   */
  readonly seen: readonly CardSeen[];
  /**
   * Texts that were filled in and have no place of their own on the card.
   */
  readonly written: readonly CardWritten[];
  /**
   * Values that were taken over from earlier jobs, with their age then.
   */
  readonly carried: readonly CardCarried[];
  /**
   * What was tightened with a torque wrench.
   */
  readonly tightened: readonly CardTightened[];
  readonly rework: readonly CardRework[];
  readonly struck: readonly CardStruck[];
  readonly holds: readonly CardHold[];
  readonly concessions: readonly CardConcession[];
  readonly witnesses: readonly CardWitness[];
  readonly omitted: readonly CardOmitted[];
  readonly notes: readonly CardNote[];
  readonly photographs: readonly CardPhotograph[];
  readonly time: CardTimes;
  /**
   * Of a job that is not finished: what is not as it would be at its end.
   */
  readonly left: readonly string[];
  /**
   * What is due next: procedures that the job has led to, and what the pack says.
   */
  readonly next: readonly CardNext[];
}
/**
 * The job, and how it stands.
 */
export interface CardJob {
  /**
   * Under which name it is kept.
   */
  readonly id?: string;
  /**
   * Finished and unfinished: closed, all of it done or not. The others are not closed.
   */
  readonly state: 'finished' | 'unfinished' | 'parked' | 'held' | 'open';
  /**
   * The same in words.
   */
  readonly says: string;
  /**
   * Why it was closed unfinished, or parked; of a hold, what it says.
   */
  readonly reason?: string;
  readonly began: CardAt;
  readonly last: CardAt;
  /**
   * How many facts there are.
   */
  readonly facts: number;
  /**
   * Digest of the last fact. A record that ends otherwise is not the one that this card was made from.
   */
  readonly lastDigest?: string;
}
/**
 * By what the job was done.
 */
export interface CardPack {
  readonly id: string;
  readonly revision: string;
  readonly title: string;
  /**
   * Digest of the resolved bundle, with the overlay.
   */
  readonly digest: string;
  /**
   * Where the procedure is from.
   */
  readonly source?: string;
  readonly procedure: CardTitled;
  readonly variant: CardTitled;
  /**
   * What the shop had laid over the pack.
   */
  readonly overlay?: {
    readonly id: string;
    readonly revision: string;
    readonly title: string;
    readonly digest: string;
    /**
     * Digest of the pack by itself.
     */
    readonly over: string;
  };
  readonly libraries: readonly CardLibrary[];
}
export interface CardTitled {
  readonly id: string;
  readonly title: string;
}
/**
 * What the pack takes from.
 */
export interface CardLibrary {
  readonly id: string;
  readonly revision: string;
  readonly digest: string;
}
/**
 * What is known of signatures, with the words that every screen and page shows.
 */
export interface CardSigned {
  readonly state: 'unsigned' | 'signed' | 'broken';
  readonly says: string;
}
/**
 * The engine. What the pack does not mark, or nobody has written down, is missing.
 */
export interface CardEngine {
  readonly serial?: CardWritten;
  readonly machine?: CardWritten;
  readonly hours?: CardWritten;
}
/**
 * A text that was filled in, an answer, or the hours.
 */
export interface CardWritten {
  readonly title: string;
  readonly text: string;
  readonly at: CardAt;
  readonly by: string;
  readonly seq: CardSeq;
}
export interface CardPerson {
  readonly role: string;
  readonly title: string;
  readonly person: string;
}
export interface CardInstrument {
  readonly kind: string;
  readonly title: string;
  /**
   * Its number.
   */
  readonly identity: string;
  /**
   * Last day on which its calibration holds.
   */
  readonly due?: string;
  /**
   * Of a torque wrench.
   */
  readonly length?: string;
  /**
   * How many readings were taken with it, and screws tightened.
   */
  readonly readings: number;
  /**
   * Concessions by which it was used all the same, in words.
   */
  readonly allowed?: readonly string[];
}
/**
 * A part with a serial number at its place.
 */
export interface CardPart {
  readonly part: string;
  readonly bore?: number;
  /**
   * The number that was there.
   */
  readonly found?: string;
  /**
   * The number that is there now.
   */
  readonly fitted?: string;
  /**
   * How the fitted one stands to this place: it belongs here, it is from another bore, or it is new.
   */
  readonly stands?: 'own' | 'other' | 'renewed';
}
export interface CardRenewed {
  readonly part: string;
  readonly bore?: number;
  readonly at: CardAt;
  readonly by: string;
  readonly seq: CardSeq;
}
/**
 * One reading or derived value at one place.
 */
export interface CardMeasured {
  readonly title: string;
  readonly bore?: number;
  readonly limits?: string;
  readonly asReceived?: CardCell;
  readonly baseline?: CardCell;
  readonly asLeft?: CardCell;
  readonly meanwhile?: CardCell;
}
export interface CardCell {
  readonly value: string;
  readonly verdict?: CardWord;
  /**
   * It was accepted by concession.
   */
  readonly conceded?: true;
  /**
   * What is left to the nearer limit, or by how much it is missed.
   */
  readonly margin?: string;
  /**
   * Expanded uncertainty, with its coverage factor where that is not 2.
   */
  readonly uncertainty?: string;
  /**
   * It was taken over from an earlier job.
   */
  readonly carried?: true;
  /**
   * How often it was judged in all.
   */
  readonly judged?: number;
  readonly strip?: CardStrip;
}
/**
 * A value beside its limits, for drawing: numbers in the base unit of its kind. What decides is the verdict.
 */
export interface CardStrip {
  readonly low?: CardMark;
  readonly high?: CardMark;
  /**
   * What the decision rule accepts, where that is less than what lies inside the limits.
   */
  readonly accepted?: {
    readonly low?: number;
    readonly high?: number;
  };
  readonly value: CardMark;
  /**
   * Expanded uncertainty.
   */
  readonly spread?: number;
}
export interface CardMark {
  readonly at: number;
  readonly text: string;
}
export interface CardReading {
  readonly seq: CardSeq;
  readonly at: CardAt;
  readonly by: string;
  /**
   * Its name in the pack, with its place.
   */
  readonly name: string;
  readonly title: string;
  readonly bore?: number;
  readonly column?: 'as-received' | 'baseline' | 'as-left';
  /**
   * As it was understood, with its digits and unit.
   */
  readonly value: string;
  /**
   * As it was typed, where that is not the same.
   */
  readonly typed?: string;
  /**
   * Which one it is, of a reading that is taken several times.
   */
  readonly repeat?: number;
  /**
   * With the last repeat: what is taken of all of them.
   */
  readonly taken?: string;
  readonly spread?: string;
  /**
   * What held during the whole of it, as whoever took it confirmed.
   */
  readonly throughout?: readonly string[];
  /**
   * Number of the instrument.
   */
  readonly instrument?: string;
  readonly due?: string;
  readonly allowed?: readonly string[];
  /**
   * It was taken over: from where, and how old it was then.
   */
  readonly carried?: string;
  readonly state: CardState;
  readonly struckBy?: CardSeq;
}
export interface CardVerdict {
  readonly seq: CardSeq;
  readonly at: CardAt;
  readonly by: string;
  readonly name: string;
  readonly title: string;
  readonly bore?: number;
  /**
   * How the value comes about, where it is not simply a reading.
   */
  readonly derivation?: string;
  readonly value?: string;
  readonly limits?: string;
  readonly low?: string;
  readonly high?: string;
  readonly verdict: CardWord;
  readonly side?: 'low' | 'high';
  /**
   * To the nearer limit, of what conforms.
   */
  readonly margin?: string;
  /**
   * Beyond the limit, of what does not.
   */
  readonly excess?: string;
  /**
   * Why it is inconclusive.
   */
  readonly because?: string;
  /**
   * Expanded uncertainty.
   */
  readonly uncertainty?: string;
  readonly coverageFactor?: string;
  /**
   * That the true value lies inside the limits.
   */
  readonly probability?: string;
  /**
   * The decision rule with its number.
   */
  readonly rule?: string;
  /**
   * What the rule accepts.
   */
  readonly acceptance?: string;
  readonly doubtful?: true;
  readonly advice?: string;
  readonly standsOut?: string;
  /**
   * What was chosen from stock.
   */
  readonly chosen?: string;
  readonly instruments?: readonly string[];
  readonly carried?: readonly string[];
  /**
   * It was accepted by concession.
   */
  readonly conceded?: true;
  readonly state: CardState;
  readonly struckBy?: CardSeq;
  readonly strip?: CardStrip;
}
export interface CardSeen {
  readonly seq: CardSeq;
  readonly at: CardAt;
  readonly by: string;
  readonly name: string;
  readonly title: string;
  readonly bore?: number;
  readonly column?: 'as-received' | 'baseline' | 'as-left';
  readonly answer: string;
  readonly state: CardState;
  readonly struckBy?: CardSeq;
}
export interface CardCarried {
  readonly title: string;
  readonly bore?: number;
  readonly value: string;
  /**
   * When it was taken over: 5 days.
   */
  readonly age: string;
  readonly measured: CardAt;
  /**
   * The job that it is from.
   */
  readonly job: string;
  /**
   * Digest of the end of the record of that job.
   */
  readonly record?: string;
  readonly pack: string;
  readonly revision: string;
  readonly procedure: string;
  readonly verdict?: CardWord;
  readonly uncertainty?: string;
  readonly seq: CardSeq;
}
export interface CardTightened {
  readonly title: string;
  readonly bore?: number;
  readonly settings: readonly CardSetting[];
  readonly instrument?: string;
  readonly due?: string;
  readonly at: CardAt;
  readonly by: string;
  readonly seq: CardSeq;
  readonly state: CardState;
}
export interface CardSetting {
  /**
   * What the procedure asks for.
   */
  readonly torque: string;
  /**
   * To what the wrench was set.
   */
  readonly set: string;
  /**
   * What reached the screw at that.
   */
  readonly gives: string;
  /**
   * The running torque in it.
   */
  readonly running?: string;
}
/**
 * Work that was done again because something did not conform.
 */
export interface CardRework {
  /**
   * The verdict, or the hold, that led to it.
   */
  readonly because: string;
  readonly at: CardAt;
  readonly by: string;
  readonly seq: CardSeq;
  readonly bore?: number;
  /**
   * What was done to undo it.
   */
  readonly steps: readonly string[];
}
/**
 * What was entered wrongly and taken back. It stays in the record.
 */
export interface CardStruck {
  readonly target: CardSeq;
  readonly also?: readonly CardSeq[];
  readonly says: string;
  /**
   * What had been entered.
   */
  readonly value?: string;
  readonly reason: string;
  readonly at: CardAt;
  readonly by: string;
  readonly seq: CardSeq;
}
export interface CardHold {
  readonly text: string;
  /**
   * Where it came, in words.
   */
  readonly step: string;
  readonly safety: boolean;
  readonly at: CardAt;
  readonly seq: CardSeq;
  /**
   * Missing while the hold is open.
   */
  readonly release?: {
    readonly how: 'concession' | 'rework' | 'witness';
    readonly by: string;
    readonly reason: string;
    readonly at: CardAt;
    readonly seq: CardSeq;
  };
}
export interface CardConcession {
  /**
   * What was accepted: a result, or the use of an instrument.
   */
  readonly of: string;
  readonly reason: string;
  readonly by: string;
  readonly role?: string;
  readonly at: CardAt;
  readonly seq: CardSeq;
}
export interface CardWitness {
  readonly what: string;
  /**
   * Another person has looked, or has done it together with the technician.
   */
  readonly how: 'witness' | 'together';
  readonly by: string;
  readonly at: CardAt;
  readonly seq: CardSeq;
}
export interface CardOmitted {
  readonly step: string;
  readonly reason: string;
  readonly by: string;
  readonly at: CardAt;
  readonly seq: CardSeq;
}
export interface CardNote {
  readonly text: string;
  readonly by: string;
  readonly at: CardAt;
  readonly seq: CardSeq;
}
export interface CardPhotograph {
  readonly step: string;
  /**
   * Name of the file.
   */
  readonly name: string;
  /**
   * Digest of its bytes.
   */
  readonly digest: string;
  readonly by: string;
  readonly at: CardAt;
  readonly seq: CardSeq;
}
/**
 * Whole seconds between the first fact and the last, each second counted once: parked before held before waiting.
 */
export interface CardTimes {
  readonly active: number;
  /**
   * At steps that are a wait.
   */
  readonly waiting: number;
  /**
   * While a hold was open.
   */
  readonly held: number;
  readonly parked: number;
  /**
   * How often the clock was set back. The times are too short then.
   */
  readonly setBack?: number;
  /**
   * The same in words.
   */
  readonly says: string;
}
export interface CardNext {
  readonly says: string;
  readonly pack?: string;
  readonly procedure?: string;
}
