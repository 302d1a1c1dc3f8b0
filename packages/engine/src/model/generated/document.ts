// Generated from schema/pack.schema.yaml by `npm run generate`. Do not edit.

/**
 * A name: lower-case words joined by hyphens.
 */
export type Id = string;
/**
 * Prose for a person. {bore}, {stop.held-by} and the like are filled in.
 */
export type Text = string;
/**
 * Written only where it applies.
 */
export type Yes = 'yes';
/**
 * Kind of quantity.
 */
export type QuantityKind =
  | 'length'
  | 'angle'
  | 'torque'
  | 'pressure'
  | 'temperature'
  | 'temperature-difference'
  | 'time'
  | 'volume'
  | 'delivery'
  | 'flow'
  | 'rotational-speed'
  | 'force'
  | 'mass'
  | 'voltage'
  | 'current'
  | 'resistance'
  | 'ratio'
  | 'count';
/**
 * A number with its unit, as the trade writes it: 19.20 mm, 360°, 4.0 N·m. A second statement may follow in brackets: 50 N·m (37 lbf·ft). A fact of the variant may stand instead: variant.travel-low.
 */
export type QuantityText = string;
/**
 * A quantity, or a share of the indication or of the range, or both: 0.03 mm, 4 % of indication, 1.6 % of range, 0.1 bar + 1 % of indication.
 */
export type ErrorText = string;
/**
 * A whole number from 1 to 9999.
 */
export type Count = string;
/**
 * A serial number written with 9 for a digit and A for a capital letter; every other sign, and whatever stands in double quotes, stands for itself: "MU"-99999. The picture characters are those of ISO/IEC 1989.
 */
export type Shape = string;
/**
 * concession: a named role accepts the result as it is. rework: go back. witness: another person has looked (for hold points).
 */
export type Release = ConcessionRelease | ReworkRelease | WitnessRelease;
/**
 * A step, a block, a loop, a procedure performed, a choice or a hold point. The first key says which.
 */
export type Node = Perform | Choose | Each | Block | HoldPoint | Step;
/**
 * One of four forms. variant and given are known before the job starts; state and observed are tracked; logic reads readings.
 */
export type Condition =
  VariantCondition | GivenCondition | StateCondition | ObservedCondition | LogicCondition;
/**
 * Steps and what holds steps together, in the order of the work.
 *
 * @minItems 1
 * @maxItems 2000
 */
export type Nodes = Node[];
/**
 * A declared name; baseline.travel names a reading of the procedure performed as baseline; rack-shift@2 names the reading of bore 2.
 */
export type Name = string;
/**
 * One name, or a list of names.
 */
export type OneOrMore = Id | Id[];
/**
 * One remedy, or one for each side missed. The key says which.
 */
export type Outcome = SidedOutcome | HoldRemedy | Rework;
/**
 * What follows a bad result: work that undoes it, or a hold.
 */
export type Remedy = Rework | HoldRemedy;
/**
 * One for each bore, or for each value of the names that enclosing each-loops bind.
 */
export type Per = Id | Id[];
/**
 * A quantity, a fact of the variant, or an expression over facts and readings that is worked out when the value is judged: { '*': [{ var: depth-shut }, '1.5'] }.
 */
export type Limit = QuantityText | {};
/**
 * A share in percent: 95 %.
 */
export type ShareText = string;
/**
 * One answer, or several that are used up one after the other.
 */
export type OneOrMoreTexts = string | string[];
/**
 * Why a command is refused; docs/semantics.md says more of each.
 */
export type RefusalCode =
  | 'interlock'
  | 'requirement'
  | 'change-from'
  | 'not-offered'
  | 'not-a-number'
  | 'doubtful-number'
  | 'wrong-unit'
  | 'wrong-quantity'
  | 'implausible'
  | 'beyond-instrument'
  | 'beyond-scale'
  | 'other-instrument'
  | 'instrument-overdue'
  | 'instrument-missing'
  | 'wrench-length'
  | 'unknown-answer'
  | 'wrong-shape'
  | 'identity-in-use'
  | 'unexpected-identity'
  | 'too-old'
  | 'from-the-future'
  | 'other-engine'
  | 'not-carryable'
  | 'origin-struck'
  | 'origin-nonconforming'
  | 'same-person'
  | 'wrong-role'
  | 'too-soon'
  | 'stale-sequence'
  | 'job-closed'
  | 'job-parked'
  | 'no-concession'
  | 'states-for-parking'
  | 'not-confirmed'
  | 'empty'
  | 'too-long'
  | 'unknown-person'
  | 'nothing-to-strike'
  | 'no-way-back'
  | 'bad-time'
  | 'not-held';
/**
 * A procedure and a step of it: fit-pump/clamp. Every step of that name in the procedure is meant.
 */
export type StepOfProcedure = string;

/**
 * A versioned set of procedures with all that they name. Every scalar is text.
 */
export interface Pack {
  /**
   * Version of the written format.
   */
  readonly format: '1';
  readonly pack: Id;
  /**
   * Revision of the pack as semantic versioning writes it.
   */
  readonly revision: string;
  readonly title: Text;
  readonly notice?: Text;
  readonly source?: Text;
  /**
   * Libraries that the pack takes from, by name. Whatever it names and does not declare itself is looked for there. A library harbour-workshop in revision 1.0.0 stands beside the pack, in ../../harbour-workshop/1.0.0.
   */
  readonly uses?: {
    readonly [k: string]: UsedLibrary;
  };
  readonly overlaid?: Overlaid;
  /**
   * Who may do, witness or grant what.
   */
  readonly roles?: {
    readonly [k: string]: Titled;
  };
  /**
   * Conditions that a procedure may require before or after its steps.
   */
  readonly conditions?: {
    readonly [k: string]: RequiredCondition;
  };
  /**
   * What can hurt people or the engine, each with its signal word.
   */
  readonly hazards?: {
    readonly [k: string]: Hazard;
  };
  /**
   * Support equipment: tools, stands, gauges that give no reading.
   */
  readonly equipment?: {
    readonly [k: string]: InUse;
  };
  /**
   * What is used up: oil, sealant, cloth.
   */
  readonly supplies?: {
    readonly [k: string]: InUse;
  };
  /**
   * Kinds of measuring instrument.
   */
  readonly instruments?: {
    readonly [k: string]: Instrument;
  };
  /**
   * Values that expressions look up at a reading: a time by a temperature.
   */
  readonly tables?: {
    readonly [k: string]: Table;
  };
  /**
   * Parts that are identified, removed or renewed.
   */
  readonly parts?: {
    readonly [k: string]: Part;
  };
  /**
   * Screwed joints that steps tighten.
   */
  readonly joints?: {
    readonly [k: string]: Joint;
  };
  /**
   * What is kept in graded sizes, such as shims, for steps to choose from.
   */
  readonly stock?: {
    readonly [k: string]: Stock;
  };
  /**
   * Texts that a person fills in.
   */
  readonly fields?: {
    readonly [k: string]: Field;
  };
  /**
   * Tracked states of the engine and its tools. Two are built in and read only: crank (a mark, or unknown) and follower, per bore (on-base-circle, on-lobe, unknown).
   */
  readonly states?: {
    readonly [k: string]: State;
  };
  /**
   * Kinds of work that interlocks speak of. turn-crank is built in: every step that turns the crank is one.
   */
  readonly operations?: {
    readonly [k: string]: Titled;
  };
  /**
   * Laws over states and operations, declared once. A step cannot forget one.
   *
   * @maxItems 1000
   */
  readonly interlocks?: readonly Interlock[];
  /**
   * The engines that the procedures are for.
   */
  readonly variants: {
    readonly [k: string]: Variant;
  };
  /**
   * Holds that several procedures use. A procedure may have its own.
   */
  readonly holds?: {
    readonly [k: string]: Hold;
  };
  /**
   * The procedures by name, each usually in a file of its own under procedures/.
   */
  readonly procedures: {
    readonly [k: string]: Procedure;
  };
  /**
   * Scripted runs by name, usually in files under trials/.
   */
  readonly trials?: {
    readonly [k: string]: Trial;
  };
}
/**
 * A library in one revision, and the digest by which it is known. It holds what several packs share: any of the sections roles to holds, and procedures. Of a variant the library says what is common, and the pack adds the rest; nothing else may be declared by both. A law is taken when the pack has all states and operations that it speaks of.
 */
export interface UsedLibrary {
  /**
   * Revision of the library.
   */
  readonly revision: string;
  /**
   * Digest of its bundle. Check says it where another one stands here.
   */
  readonly digest: string;
}
/**
 * The overlay that was laid over the pack. Ferrule writes it when that is done; in a file it is refused.
 */
export interface Overlaid {
  readonly overlay: Id;
  /**
   * Its revision.
   */
  readonly revision: string;
  readonly title: Text;
  /**
   * Digest of the bundle of the overlay.
   */
  readonly digest: string;
  /**
   * Digest of the bundle of the pack as it was released.
   */
  readonly over: string;
  /**
   * The trials of the overlay, which are run instead of those of the pack.
   *
   * @minItems 1
   */
  readonly trials?: readonly Id[];
}
/**
 * Something that needs no more than a name for people.
 */
export interface Titled {
  readonly title: Text;
  readonly note?: Text;
}
/**
 * A condition that a person confirms before or after the steps, or when a parked job goes on.
 */
export interface RequiredCondition {
  readonly text: Text;
}
/**
 * A hazard with its signal word, shown at every step that names it.
 */
export interface Hazard {
  /**
   * Signal word.
   */
  readonly signal: 'danger' | 'warning' | 'caution' | 'notice';
  readonly text: Text;
  readonly acknowledge?: Yes;
}
/**
 * A piece of equipment or a supply.
 */
export interface InUse {
  readonly title: Text;
  readonly note?: Text;
  /**
   * Hazards of all work with it. check says which step with it does not show one of them.
   *
   * @minItems 1
   */
  readonly hazards?: readonly Id[];
}
/**
 * A kind of measuring instrument that readings need. A job names the one that was used.
 */
export interface Instrument {
  readonly title: Text;
  readonly quantity: QuantityKind;
  /**
   * Lowest and highest indication that may be used.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly range: readonly QuantityText[];
  readonly resolution: QuantityText;
  readonly 'maximum-permissible-error'?: ErrorText;
  readonly calibration?: Calibration;
  readonly 'common-error'?: QuantityText;
  readonly 'torque-class'?: TorqueClass;
  readonly length?: QuantityText;
  readonly calibrated?: Yes;
  readonly 'if-overdue'?: InstrumentConcession;
  readonly 'if-beyond-range'?: InstrumentConcession;
  readonly note?: Text;
}
/**
 * What a calibration certificate says: the expanded uncertainty and its coverage factor (JCGM 100, 4.3.3).
 */
export interface Calibration {
  readonly 'expanded-uncertainty': QuantityText;
  /**
   * k of the certificate, by which U is divided.
   */
  readonly 'coverage-factor': string;
  readonly 'degrees-of-freedom'?: Count;
}
/**
 * Type and class of a hand torque tool as ISO 6789 names them. Its indication may then be off by 6 % where its largest torque, the upper end of its range, is at most 10 N·m, and as a rule by 4 % above that; bars and screwdrivers keep to 6 %. It is specified from a fifth of its largest torque.
 */
export interface TorqueClass {
  /**
   * I indicates the torque; II is set to it, and gives a signal.
   */
  readonly type: 'I' | 'II';
  /**
   * Type I has A to E, type II has A to G; a clicking wrench with a scale is II A.
   */
  readonly class: 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';
}
/**
 * Who may allow an instrument that would be refused. It is recorded with the reason, and who allows it takes no reading with it.
 */
export interface InstrumentConcession {
  readonly concession: Id;
}
/**
 * Values looked up in an expression, { table: { of: leak-down-by-temperature, at: oil-temperature } }. Between two points the value changes in proportion. Outside of the table there is none: whatever depends on it waits until the reading is struck and taken again.
 */
export interface Table {
  readonly title: Text;
  readonly of: QuantityKind;
  readonly gives: QuantityKind;
  /**
   * Pairs: what it is looked up by, and what it gives there; the lowest first.
   *
   * @minItems 2
   * @maxItems 200
   */
  readonly points: readonly QuantityText[][];
  readonly source: Text;
  readonly note?: Text;
}
/**
 * A part that steps identify, remove or renew.
 */
export interface Part {
  readonly title: Text;
  /**
   * There is one in each bore.
   */
  readonly per?: 'bore';
  readonly identity?: Shape;
  /**
   * Parts of the same bore that form one matched set with it. They go home together or are renewed together.
   *
   * @minItems 1
   */
  readonly 'matched-with'?: readonly Id[];
  readonly 'tied-to-bore'?: Yes;
  readonly 'single-use'?: Yes;
}
/**
 * A screwed joint.
 */
export interface Joint {
  readonly title: Text;
  readonly fasteners?: Count;
  readonly note?: Text;
}
/**
 * A part that is kept in graded sizes, such as shims. A step chooses from it with select.
 */
export interface Stock {
  readonly title: Text;
  readonly quantity: QuantityKind;
  /**
   * The sizes that are kept, ascending, at most 200.
   */
  sizes:
    | QuantityText[]
    | {
        readonly from: QuantityText;
        readonly to: QuantityText;
        readonly by: QuantityText;
      };
  /**
   * How many may lie on one another; 1 if not said. A size may be taken twice. Together they may come to at most 5,000 different totals.
   */
  readonly stack?: string;
  /**
   * Smallest and largest total that may be fitted.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly total?: readonly QuantityText[];
  readonly 'maximum-permissible-error'?: QuantityText;
  readonly note?: Text;
}
/**
 * A text that a person fills in.
 */
export interface Field {
  readonly title: Text;
  readonly shape?: Shape;
  readonly longest?: Count;
  /**
   * What the text is on the job card: the serial number of the engine, the machine that it stands in, the complaint, its cause, or the correction. Any other text stands under what was written down.
   */
  readonly card?: 'engine' | 'machine' | 'complaint' | 'cause' | 'correction';
}
/**
 * One thing about the engine or its tools that steps change and laws read.
 */
export interface State {
  readonly title?: Text;
  /**
   * There is one for each bore.
   */
  readonly per?: 'bore';
  /**
   * Every value that it can have.
   *
   * @minItems 2
   * @maxItems 40
   */
  readonly is: readonly Id[];
  readonly starts: Id;
  /**
   * The value or values that it must have when a job ends.
   */
  readonly ends: Id | Id[];
}
/**
 * One law. It says what it protects, in words that a technician is shown when it refuses.
 */
export interface Interlock {
  readonly law: Id;
  readonly says: Text;
  readonly while?: StateMap;
  /**
   * … these operations are refused.
   */
  readonly forbid?: Id | Id[];
  readonly operation?: Id;
  readonly entering?: StateMap;
  readonly 'only-while'?: StateMap;
  readonly never?: StateMap;
}
/**
 * States with the value, or the list of values, that they must have; all of them at once. Inside a bore a per-bore state is that bore's; elsewhere it is quantified with every-bore, any-bore or no-bore. Two states are built in: crank is a mark, known or unknown, and follower, per bore, is on-base-circle, on-lobe or unknown.
 */
export interface StateMap {
  [k: string]:
    | string
    | string[]
    | {
        readonly [k: string]: string | string[];
      };
}
/**
 * One engine that the procedures are for: its bores, its crank and the values that are its own.
 */
export interface Variant {
  readonly title: Text;
  readonly cylinders?: Count;
  /**
   * The cylinders in the order in which they fire.
   *
   * @minItems 1
   * @maxItems 24
   */
  readonly 'firing-order'?: readonly Count[];
  readonly 'running-direction'?: Text;
  readonly cycle?: QuantityText;
  /**
   * Where a pump's follower is off the base circle of its cam, as crank angles around the firing TDC of its cylinder; the ends count as off.
   */
  readonly 'off-base'?: {
    readonly before: QuantityText;
    readonly after: QuantityText;
  };
  /**
   * Crank positions that can be found on the engine, as crank angle after the firing TDC of cylinder 1.
   */
  readonly marks?: {
    readonly [k: string]: {
      readonly at: QuantityText;
      readonly title: Text;
    };
  };
  /**
   * From which mark, over which stops and in which order the pumps are visited. The plan is computed.
   */
  readonly rotation?: {
    readonly from: Id;
    /**
     * Bore 1 is at the front.
     */
    readonly sequence: ('rear-to-front' | 'front-to-rear') | Count[];
    readonly accuracy: QuantityText;
    /**
     * @minItems 1
     * @maxItems 720
     */
    readonly stops: {
      readonly at: QuantityText;
      readonly 'held-by': Text;
    }[];
  };
  /**
   * Values that differ between variants: quantities or words. Named variant.<fact>.
   */
  readonly facts?: {
    readonly [k: string]: string;
  };
}
/**
 * A place where the job waits, with the ways in which it is released. A job can always be closed as unfinished instead.
 */
export interface Hold {
  readonly text: Text;
  readonly safety?: Yes;
  /**
   * The ways out, each offered to the role that it names.
   *
   * @minItems 1
   * @maxItems 6
   */
  readonly release: readonly Release[];
}
/**
 * A person in this role, who did not do the work, accepts the nonconforming result. Not for a hold that is safety, and not for a hold point.
 */
export interface ConcessionRelease {
  readonly concession: Id;
}
/**
 * The way back. It is offered so many times, and then no longer.
 */
export interface ReworkRelease {
  /**
   * Steps on the way back; may be empty.
   *
   * @maxItems 2000
   */
  readonly rework: readonly Node[];
  readonly 'resume-at': Id;
  readonly times: Count;
  readonly by?: Id;
  /**
   * What is done again: everything after resume-at, if this is not said, or the rest of the block that resume-at is in. Say this-block only where nothing after that block relies on the states that the rework changes.
   */
  readonly redo?: 'everything-after' | 'this-block';
}
/**
 * Another procedure of the pack, in place.
 */
export interface Perform {
  readonly perform: Id;
  readonly as?: Id;
  /**
   * What it takes: a bound name, or a text.
   */
  readonly given?: {
    readonly [k: string]: string;
  };
  /**
   * The column of the job card for what it reads, where its readings do not say one.
   */
  readonly when?: 'as-received' | 'baseline' | 'as-left';
  readonly 'only-if'?: Condition;
}
/**
 * True for the variants that are listed; decided when the pack is resolved.
 */
export interface VariantCondition {
  /**
   * Names of variants.
   *
   * @minItems 1
   */
  readonly variant: readonly Id[];
}
/**
 * True when a name that the procedure was given has this value; decided when the pack is resolved.
 */
export interface GivenCondition {
  readonly given: {
    readonly [k: string]: string;
  };
}
/**
 * True while the states are so; decided when the job comes there.
 */
export interface StateCondition {
  readonly state: StateMap;
}
/**
 * True when an observation was answered so. It must stand after the step that makes the observation.
 */
export interface ObservedCondition {
  readonly observed: {
    readonly [k: string]: Id | Id[];
  };
}
/**
 * A condition over readings. While one of them is not recorded it has no value, and the job waits.
 */
export interface LogicCondition {
  readonly logic: Expression;
}
/**
 * JSON Logic of the typed subset, or a named form: difference, change, spread, share, lowest, highest, mean, around, table, elapsed. Every operand has its kind of quantity; a text with a unit is a quantity. {every-bore: rack-shift} stands for the list over the bores.
 */
export interface Expression {
  readonly [k: string]: unknown;
}
/**
 * Exactly one case is true, or otherwise applies. A case that reads something not recorded blocks.
 */
export interface Choose {
  readonly choose: Id;
  /**
   * @minItems 1
   * @maxItems 20
   */
  readonly cases: {
    readonly when: Condition;
    readonly steps: Nodes;
  }[];
  readonly otherwise?: Nodes;
}
/**
 * The same steps for each item of a list that is known before the job starts.
 */
export interface Each {
  readonly each: Id;
  readonly of: string | string[];
  readonly id?: Id;
  readonly title?: Text;
  readonly 'only-if'?: Condition;
  readonly steps: Nodes;
}
/**
 * Steps that belong together, a scope for counters and for resume-at.
 */
export interface Block {
  readonly block: Id;
  readonly title?: Text;
  readonly 'only-if'?: Condition;
  readonly steps: Nodes;
}
/**
 * The job waits here until someone releases it.
 */
export interface HoldPoint {
  readonly hold: Id;
  readonly 'only-if'?: Condition;
}
/**
 * One piece of work with one main verb, in the order: hazards shown, act, states change, read, judge, witness.
 */
export interface Step {
  readonly step: Id;
  readonly title?: Text;
  readonly 'only-if'?: Condition;
  /**
   * Shown before the work.
   *
   * @minItems 1
   */
  readonly hazards?: readonly Id[];
  readonly requires?: StateMap;
  readonly do?: Text;
  /**
   * Turn the crank by this angle in the running direction; stop.rotation takes the planned one.
   */
  readonly turn?: string;
  /**
   * Turn the crank to a mark. Afterwards its position is known.
   */
  readonly 'turn-to'?: {
    readonly mark: Id;
    readonly 'proved-by': Text;
  };
  readonly 'turn-until'?: Text;
  readonly 'loses-crank'?: Yes;
  readonly tighten?: Tighten;
  readonly remove?: OneOrMore;
  readonly renew?: OneOrMore;
  readonly identify?: Identify;
  readonly select?: Select;
  readonly wait?: QuantityText;
  readonly photograph?: Text;
  readonly 'refer-to'?: ReferTo;
  readonly 'fill-in'?: Id;
  readonly observe?: Id;
  readonly read?: OneOrMore;
  readonly operation?: OneOrMore;
  /**
   * Equipment and supplies that the step uses.
   *
   * @minItems 1
   */
  readonly with?: readonly Id[];
  /**
   * State: [from, to]. from is checked and may be a list.
   */
  readonly changes?: {
    /**
     * @minItems 2
     * @maxItems 2
     */
    readonly [k: string]: readonly (Id | Id[])[];
  };
  readonly judge?: Id;
  readonly 'if-nonconforming'?: Outcome;
  readonly 'if-inconclusive'?: Remedy;
  readonly 'if-struck'?: Remedy;
  readonly witness?: Id;
  readonly 'together-with'?: Id;
  readonly 'not-applicable'?: Id;
  readonly disturbs?: OneOrMore;
  readonly raises?: OneOrMore;
  readonly lowers?: OneOrMore;
}
/**
 * A joint tightened or slackened, stage by stage.
 */
export interface Tighten {
  readonly joint: Id;
  /**
   * In order: a torque (41 N·m), an angle further (+ 90°), slacken, or slacken by an angle (slacken 180°).
   *
   * @minItems 1
   * @maxItems 10
   */
  readonly stages: readonly string[];
  readonly with?: Id;
  readonly adapter?: Adapter;
  readonly 'running-torque'?: Name;
  /**
   * The fasteners of the joint in the order in which each stage goes over them, all of them before the next stage.
   *
   * @minItems 2
   * @maxItems 200
   */
  readonly pattern?: readonly Count[];
}
/**
 * What stands between the drive of the wrench and the screw, and makes the wrench longer or shorter. The setting is worked out from it: the torque, times the length of the wrench from drive to the middle of the grip, over that length and what the adapter adds to it.
 */
export interface Adapter {
  readonly length: QuantityText;
  readonly angle?: QuantityText;
}
/**
 * The serial number of a part is written down (found) or compared with what was found (fitted).
 */
export interface Identify {
  readonly part: Id;
  /**
   * found writes the number down as that place's own, also that of a new part where it is renewed; fitted compares it with what was written down last.
   */
  readonly as: 'found' | 'fitted';
  readonly 'accept-new'?: Yes;
}
/**
 * A choice from stock by what was measured. With the size s that is chosen, value + sensitivity × (s − fitted) comes nearest to the nominal of the tolerance, or to the middle of its limits, inside them. What is fitted now may stay if nothing comes nearer.
 */
export interface Select {
  readonly from: Id;
  readonly for: Id;
  /**
   * What is fitted now: a reading or a derived value that gives its size, or the size itself.
   */
  readonly fitted: string;
  readonly sensitivity: QuantityText;
  /**
   * What more of it does to the value, in a word; the sign of sensitivity must say the same.
   */
  readonly more: 'raises' | 'lowers';
}
/**
 * A procedure that is due next, as a rule of another pack. Once the step is confirmed it stands under what is due next. Neither revision nor digest is named: a pack is released without knowing that of the other. check says when the pack stands beside this one and has no such procedure.
 */
export interface ReferTo {
  readonly pack: Id;
  readonly procedure: Id;
  readonly title: Text;
}
/**
 * A remedy for each side of a tolerance: what is too high is not always put right like what is too low.
 */
export interface SidedOutcome {
  readonly 'when-high': Remedy;
  readonly 'when-low': Remedy;
}
/**
 * The work that undoes what was done. Then the job goes on at resume-at, and everything from there on is done again.
 */
export interface Rework {
  readonly rework: Nodes;
  readonly 'resume-at': Id;
  readonly attempts: Count;
  readonly exhausted: Id;
  /**
   * What is done again: everything after resume-at, if this is not said, or the rest of the block that resume-at is in. Say this-block only where nothing after that block relies on the states that the rework changes.
   */
  readonly redo?: 'everything-after' | 'this-block';
}
/**
 * The job stops at this hold until somebody releases it.
 */
export interface HoldRemedy {
  readonly hold: Id;
}
/**
 * A person in this role, who did not do the work, has looked. For hold points only.
 */
export interface WitnessRelease {
  readonly witness: Id;
}
/**
 * An ordered piece of work. One that no other performs, and that takes nothing, is a job.
 */
export interface Procedure {
  readonly procedure?: Id;
  readonly title: Text;
  readonly source?: Text;
  /**
   * Variants that it is written for; all if not said.
   *
   * @minItems 1
   */
  readonly variants?: readonly Id[];
  /**
   * Names that a procedure which performs this one must give. A name bore puts it inside that bore.
   *
   * @minItems 1
   */
  readonly takes?: readonly Id[];
  readonly preliminary?: Preliminary;
  /**
   * Requirements after job completion, each confirmed.
   */
  readonly afterwards?: readonly Id[];
  /**
   * What the job card says is due next.
   */
  readonly 'due-next'?: readonly Text[];
  /**
   * Start values of states where they differ from the declared ones.
   */
  readonly starts?: {
    readonly [k: string]: Id;
  };
  /**
   * End values of states where they differ from the declared ones.
   */
  readonly ends?: {
    readonly [k: string]: Id | Id[];
  };
  /**
   * What its steps read, by name.
   */
  readonly readings?: {
    readonly [k: string]: Reading;
  };
  /**
   * What its steps observe, by name.
   */
  readonly observations?: {
    readonly [k: string]: Observation;
  };
  /**
   * What is calculated, by name.
   */
  readonly derived?: {
    readonly [k: string]: Derived;
  };
  /**
   * What its steps judge by, by name.
   */
  readonly tolerances?: {
    readonly [k: string]: Tolerance;
  };
  /**
   * Readings and derived values that a performing procedure may use.
   */
  readonly exports?: readonly Id[];
  /**
   * Holds of its own; their texts may name the bore.
   */
  readonly holds?: {
    readonly [k: string]: Hold;
  };
  readonly parking?: Parking;
  readonly steps: Nodes;
}
/**
 * What must be there before the first step. An empty list says none.
 */
export interface Preliminary {
  /**
   * Required conditions. Each is confirmed; there is no concession.
   */
  readonly conditions: readonly Id[];
  /**
   * Roles that must be filled when the job starts.
   */
  readonly persons: readonly Id[];
  /**
   * Support equipment and instruments.
   */
  readonly equipment: readonly Id[];
  /**
   * What must be at hand to be used up.
   */
  readonly supplies: readonly Id[];
  /**
   * Parts that must be in hand before stripping, one for each place.
   */
  readonly spares: readonly Id[];
  /**
   * Hazards shown before the first step.
   */
  readonly safety: readonly Id[];
}
/**
 * One measured or counted value. Nothing is calculated from it before a step takes it.
 */
export interface Reading {
  readonly measurand: Text;
  readonly quantity: QuantityKind;
  /**
   * Unit of a value typed without one. A count has none.
   */
  readonly unit?: string;
  readonly instrument?: Id;
  readonly per?: Per;
  /**
   * A value outside is refused as a slip of the hand or eye. It is no limit.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly plausible: readonly QuantityText[];
  readonly requires?: StateMap;
  /**
   * Which column of the job card it belongs to.
   */
  readonly when?: 'as-received' | 'baseline' | 'as-left';
  readonly repeats?: Repeats;
  /**
   * Tolerances of other readings that have to hold during the whole of this one. Whoever takes it confirms that they did; without that it is refused. These readings need not be taken by a step.
   *
   * @minItems 1
   * @maxItems 8
   */
  readonly throughout?: readonly Id[];
  readonly carry?: Carry;
  readonly circle?: QuantityText;
  /**
   * On the job card this stands beside the serial number, as the hours that the engine has run.
   */
  readonly card?: 'hours';
}
/**
 * The reading is taken several times. Each indication is kept; the reading is there when the last one is in.
 */
export interface Repeats {
  readonly times: Count;
  readonly 'agree-within'?: QuantityText;
  readonly most?: Count;
  /**
   * What of them is the value of the reading; the mean if not said.
   */
  readonly take?: 'mean' | 'lowest' | 'highest';
}
/**
 * From where the value of a reading may be taken over: a finished job on the same engine. The technician names it and confirms, or measures. That of bore 2 goes to bore 2.
 */
export interface Carry {
  readonly from: Id;
  readonly procedure: Id;
  /**
   * Reading or derived value that this procedure exports; with @ and a bore where that of one bore is always meant.
   */
  readonly value: string;
  readonly 'valid-for': QuantityText;
  readonly 'of-engine': Id;
}
/**
 * Something seen, heard or felt, answered from a list.
 */
export interface Observation {
  readonly text: Text;
  /**
   * Each possible answer with its words, in which braces name the bore or a fact of the variant as in any text.
   */
  readonly answers: {
    readonly [k: string]: Text;
  };
  /**
   * The answers in the order in which they are shown; as they are written if not said.
   *
   * @minItems 1
   */
  readonly order?: readonly Id[];
  /**
   * The answers that conform; all of them if not said, and then nothing is judged.
   *
   * @minItems 1
   */
  readonly conforming?: readonly Id[];
  readonly per?: Per;
  /**
   * Which column of the job card it belongs to.
   */
  readonly when?: 'as-received' | 'baseline' | 'as-left';
  readonly requires?: StateMap;
  /**
   * What the answer is on the job card.
   */
  readonly card?: 'complaint' | 'cause' | 'correction';
}
/**
 * A value calculated from readings, exactly and without rounding.
 */
export interface Derived {
  readonly is: Expression;
  readonly title?: Text;
  readonly per?: Per;
}
/**
 * Limits of one reading or derived value. They are inclusive.
 */
export interface Tolerance {
  readonly of: Name;
  readonly title?: Text;
  readonly nominal?: Limit;
  readonly deviation?: Limit;
  readonly plus?: Limit;
  readonly minus?: Limit;
  /**
   * Lower and upper limit.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly between?: readonly Limit[];
  readonly 'at-least'?: Limit;
  readonly 'at-most'?: Limit;
  /**
   * Decision rule; simple if not said. See how-ferrule-decides.md.
   */
  readonly rule?: 'simple' | 'guarded-acceptance' | 'guarded-rejection' | 'guarded-both' | 'probability';
  /**
   * For a guarded rule: how wide the guard band is, as a multiple of the expanded uncertainty U; 1 × U if not said.
   */
  readonly 'guard-band'?: string;
  readonly 'at-least-probability'?: ShareText;
  readonly 'warn-above'?: ShareText;
  /**
   * Measurement capability index, width of the tolerance by twice the expanded uncertainty, from which an instrument suffices; 4 if not said.
   */
  readonly capability?: string;
  /**
   * What kind of thing this is in the trade. check warns where limits lie outside of what is usual; no verdict uses it.
   */
  readonly usual?: 'hole-nozzle-opening-pressure' | 'cranking-compression' | 'governor-droop' | 'cam-to-crank-speed';
  readonly source: Text;
}
/**
 * When an unfinished job may be left, and what is proved again on resuming.
 */
export interface Parking {
  readonly 'only-while': StateMap;
  readonly instructions: Text;
  /**
   * Required conditions confirmed again, each by name.
   *
   * @minItems 1
   */
  readonly 'on-resuming': readonly Id[];
}
/**
 * A scripted run with what it must come to.
 */
export interface Trial {
  readonly trial?: Id;
  readonly says: Text;
  readonly procedure: Id;
  readonly variant: Id;
  readonly answers?: Answers;
  readonly like?: Id;
  readonly placed?: Placed;
  /**
   * What else happens.
   *
   * @minItems 1
   * @maxItems 100
   */
  readonly events?: readonly TrialEvent[];
  readonly expect: Expectation;
}
/**
 * What a scripted person answers. A list is used up one by one, its last item again and again. Under a name alone each bore has the list for itself, from its first item on; a reading that is repeated takes one item each time. Acts are done as offered; observations without an answer get their first conforming one.
 */
export interface Answers {
  /**
   * Role: who.
   */
  readonly persons?: {
    readonly [k: string]: string;
  };
  /**
   * Kind: the one that is used.
   */
  readonly instruments?: {
    readonly [k: string]: InstrumentInUse;
  };
  /**
   * Entry, or its name alone for all its instances: what is typed.
   */
  readonly readings?: {
    readonly [k: string]: OneOrMoreTexts;
  };
  /**
   * Reading, or its name alone: what is taken over for it from an earlier job, before what is typed.
   */
  readonly carried?: {
    readonly [k: string]: CarriedAnswer | CarriedAnswer[];
  };
  /**
   * Entry, or its name alone: the answer.
   */
  readonly observations?: {
    readonly [k: string]: OneOrMoreTexts;
  };
  /**
   * Part and bore, such as pump@3: the serial number, as found and then as fitted.
   */
  readonly identities?: {
    readonly [k: string]: OneOrMoreTexts;
  };
  /**
   * Field: the text.
   */
  readonly fields?: {
    readonly [k: string]: OneOrMoreTexts;
  };
  /**
   * Entry, or its name alone: whether what has to hold throughout it did; yes if not said.
   */
  readonly held?: {
    readonly [k: string]: 'yes' | 'no' | ('yes' | 'no')[];
  };
  /**
   * Hold: how it is released. A hold without an answer ends the trial there.
   */
  readonly releases?: {
    readonly [k: string]: ReleaseAnswer | ReleaseAnswer[];
  };
}
/**
 * The instrument that is on the bench, as its label says.
 */
export interface InstrumentInUse {
  /**
   * Its number.
   */
  readonly identity: string;
  /**
   * Last day on which its calibration holds (RFC 3339 full-date).
   */
  readonly due?: string;
  /**
   * Its own range. What goes beyond the range of its kind stays unused; the largest torque of a class is its own.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly range?: readonly QuantityText[];
  readonly resolution?: QuantityText;
  readonly 'maximum-permissible-error'?: ErrorText;
  readonly 'common-error'?: QuantityText;
  readonly calibration?: Calibration;
  readonly length?: QuantityText;
}
/**
 * What an earlier job hands on. A trial writes it out; a file of answers names the record of a closed job. Where neither is said the reading is measured.
 */
export interface CarriedAnswer {
  /**
   * In a file of answers: path of the record, from the folder of that file.
   */
  readonly job?: string;
  readonly value?: QuantityText;
  readonly age?: QuantityText;
  /**
   * Serial number of the engine there; that of this job if not said.
   */
  readonly engine?: string;
  /**
   * How it was judged there.
   */
  readonly verdict?: 'conforming' | 'nonconforming' | 'inconclusive';
  readonly struck?: Yes;
  readonly 'expanded-uncertainty'?: QuantityText;
  /**
   * k; 2 if not said.
   */
  readonly 'coverage-factor'?: string;
}
/**
 * In which way the scripted person releases the hold.
 */
export interface ReleaseAnswer {
  /**
   * The way of release.
   */
  readonly by: 'concession' | 'rework' | 'witness';
  readonly reason?: Text;
}
/**
 * Puts the trial straight before one step with stated states, to try a law. Only one act is tried.
 */
export interface Placed {
  readonly at: Name;
  /**
   * State, or state@bore, and its value; others as the first way to the step leaves them.
   */
  readonly states?: {
    readonly [k: string]: Id;
  };
  /**
   * A mark, an angle, or unknown.
   */
  readonly crank?: string;
}
/**
 * Something that happens when a step is offered.
 */
export interface TrialEvent {
  readonly at: Name;
  readonly visit?: Count;
  readonly strike?: Name;
  readonly because?: Text;
  readonly park?: Text;
  readonly later?: QuantityText;
  readonly note?: Text;
  readonly 'not-applicable'?: Text;
  readonly allow?: Id;
  /**
   * An answer to the step that is offered; it must be refused.
   */
  readonly answer?: string;
  readonly refused?: RefusalCode;
}
/**
 * What a trial must come to. Only what is written is compared.
 */
export interface Expectation {
  /**
   * How it ends: closed; at a hold that no answer releases; refused (with placed).
   */
  readonly outcome: 'closed' | 'held' | 'refused';
  readonly hold?: Id;
  readonly refused?: RefusalCode;
  readonly law?: Id;
  /**
   * Every hold met on the way, in order.
   */
  readonly holds?: readonly Id[];
  /**
   * How many reworks were begun after a verdict; a rework that releases a hold is not counted, it stands under holds.
   */
  readonly reworks?: string;
  /**
   * Tolerance (or tolerance@bore): its verdicts in order.
   */
  readonly verdicts?: {
    readonly [k: string]: OneOrMoreTexts;
  };
  /**
   * What the job has led to at its end, in order: pack/procedure, such as marram-nozzle-bench/bench-test. An empty list says nothing.
   */
  readonly 'refers-to'?: readonly string[];
}
/**
 * What a shop adds to a released pack, in a folder of its own: overlay.yaml, more files of the same keys, and trials. Each key adds something or makes something stricter; there is none that takes anything away.
 */
export interface Overlay {
  /**
   * Version of the written format.
   */
  readonly format: '1';
  readonly overlay: Id;
  /**
   * Revision of the overlay.
   */
  readonly revision: string;
  readonly title: Text;
  readonly source?: Text;
  readonly over: OverlaidPack;
  /**
   * Further roles, for witnesses.
   */
  readonly roles?: {
    readonly [k: string]: Titled;
  };
  /**
   * Further conditions.
   */
  readonly conditions?: {
    readonly [k: string]: RequiredCondition;
  };
  /**
   * Further hazards.
   */
  readonly hazards?: {
    readonly [k: string]: Hazard;
  };
  /**
   * Further support equipment.
   */
  readonly equipment?: {
    readonly [k: string]: Titled;
  };
  /**
   * Further supplies.
   */
  readonly supplies?: {
    readonly [k: string]: Titled;
  };
  /**
   * Further kinds of instrument.
   */
  readonly instruments?: {
    readonly [k: string]: Instrument;
  };
  /**
   * What more must be there before a procedure starts.
   *
   * @minItems 1
   * @maxItems 200
   */
  readonly preliminary?: readonly MoreRequirements[];
  /**
   * Hazards that are shown at further steps.
   *
   * @minItems 1
   * @maxItems 500
   */
  readonly cautions?: readonly MoreCautions[];
  /**
   * Steps at whose result another person looks.
   *
   * @minItems 1
   * @maxItems 200
   */
  readonly witnesses?: readonly MoreWitnesses[];
  /**
   * Places where the job waits for another person.
   *
   * @minItems 1
   * @maxItems 200
   */
  readonly 'hold-points'?: readonly MoreHoldPoints[];
  /**
   * Limits inside those of the pack.
   *
   * @minItems 1
   * @maxItems 500
   */
  readonly stricter?: readonly StricterLimits[];
  /**
   * Readings that are taken with a better instrument.
   *
   * @minItems 1
   * @maxItems 500
   */
  readonly finer?: readonly FinerInstrument[];
  /**
   * Trials of the pack with the overlay. They may be like a trial of the pack.
   */
  readonly trials?: {
    readonly [k: string]: Trial;
  };
}
/**
 * One revision of a pack, by its digest.
 */
export interface OverlaidPack {
  readonly pack: Id;
  /**
   * Its revision.
   */
  readonly revision: string;
  /**
   * Digest of its bundle, with what it takes from libraries. Check says it where another one stands here.
   */
  readonly digest: string;
}
/**
 * What is added to the preliminary requirements of a procedure.
 */
export interface MoreRequirements {
  readonly procedure: Id;
  /**
   * Further conditions to confirm.
   *
   * @minItems 1
   */
  readonly conditions?: readonly Id[];
  /**
   * Further roles that must be filled when the job starts.
   *
   * @minItems 1
   */
  readonly persons?: readonly Id[];
  /**
   * Further equipment.
   *
   * @minItems 1
   */
  readonly equipment?: readonly Id[];
  /**
   * Further supplies.
   *
   * @minItems 1
   */
  readonly supplies?: readonly Id[];
  /**
   * Further parts that must be in hand.
   *
   * @minItems 1
   */
  readonly spares?: readonly Id[];
  /**
   * Further hazards shown before the first step.
   *
   * @minItems 1
   */
  readonly safety?: readonly Id[];
}
/**
 * Hazards that are added to a step.
 */
export interface MoreCautions {
  readonly step: StepOfProcedure;
  /**
   * Names of hazards.
   *
   * @minItems 1
   */
  readonly hazards: readonly Id[];
}
/**
 * A witness for a step that has none.
 */
export interface MoreWitnesses {
  readonly step: StepOfProcedure;
  readonly witness: Id;
}
/**
 * A hold point before a step.
 */
export interface MoreHoldPoints {
  readonly before: StepOfProcedure;
  readonly hold: Id;
  readonly text: Text;
  readonly witness: Id;
}
/**
 * Limits that lie inside those of the pack. They are quantities; those of the pack are quantities or facts of the variants.
 */
export interface StricterLimits {
  /**
   * A procedure and a tolerance of it: fit-pump/shift-limits.
   */
  readonly tolerance: string;
  /**
   * Lower and upper limit.
   *
   * @minItems 2
   * @maxItems 2
   */
  readonly between?: readonly QuantityText[];
  readonly 'at-least'?: QuantityText;
  readonly 'at-most'?: QuantityText;
  readonly source: Text;
}
/**
 * A reading is taken with an instrument of the same kind of quantity that is nowhere worse.
 */
export interface FinerInstrument {
  /**
   * A procedure and a reading of it: fit-pump/rack-shift.
   */
  readonly reading: string;
  readonly instrument: Id;
}
