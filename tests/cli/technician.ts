/** What a technician types in the demonstration job, by what the screen asks for. Invented values. */
export interface Answers {
  readonly cylinders: number;
  readonly serial: string;
  readonly idle: string;
  readonly top: string;
  /** The picture that is shown as the photograph. */
  readonly picture: string;
}

type Reply = string | ((found: RegExpExecArray) => string);

const until = '2099-12-31';

const instruments: readonly (readonly [RegExp, string])[] = [
  [/Feeler gauge, non-magnetic/, 'FN-2'],
  [/Depth gauge/, `DG-07 ${until}`],
  [/Fine dial indicator/, `DI-11 ${until}`],
  [/Steel rule/, 'SR-1'],
  [/low range/, `TL-03 ${until}`],
  [/middle range/, `TM-05 ${until}`],
  [/Tachometer/, `TA-02 ${until}`],
  [/Oil pressure gauge/, 'OP-04'],
];

const marks: Readonly<Record<string, string>> = {
  'Unit injection pump': 'MP-41',
  'Nozzle with its holder': 'MN-52',
  'Roller follower': 'MF-63',
  'Shim pack': 'MS-74',
};

function replies({ cylinders, serial, idle, top, picture }: Answers): readonly (readonly [RegExp, Reply])[] {
  return [
    [/^Technician: who\? > $/m, 'technician A'],
    [/^Second person: who\? > $/m, 'technician B'],
    [/^Service-engineering lead: who\? > $/m, 'lead C'],
    ...instruments.map(
      ([title, reply]) => [new RegExp(`^.*${title.source}.*its number.*> $`, 'm'), reply] as const,
    ),
    [/understood\? > $/, 'understood'],
    [/photo\? > $/, `photo ${picture}`],
    [/To be witnessed by (\S+ \S) [\s\S]*technician A {2}witness\? > $/, ([, name]) => `who ${name}`],
    [/ {2}witness\? > $/, 'witness'],
    [/technician A {2}release\? > $/, 'who lead C'],
    [/lead C {2}release\? > $/, 'release witness All in order.'],
    [/(?:lead C|technician B) {2}(?!witness|release).*> $/, 'who technician A'],
    [/done\? > $/, 'done'],
    [/close\? > $/, 'close'],
    [/Serial number of the engine/, serial],
    [/Hours run/, '3812'],
    [/Pilot boat and engine position/, 'Pilot boat 2, port engine'],
    [/complains of/, 'Uneven at idle.'],
    [/lead seal on/, 'K-0418'],
    [/^ {2}(.*), bore (\d),? written like/m, ([, part, bore]) => `${marks[part ?? ''] ?? '?'}0${bore}`],
    [/caps/i, String(4 * cylinders)],
    [/washers|seals/i, String(cylinders)],
    [/1 to (\d) > $/, '1'],
    [/feeler|gap/i, '0.75 mm'],
    [/Torque at which the self-locking nut/, '2.0 N·m'],
    [/bead/i, '3.5 mm'],
    [/Oil pressure/, '2.4 bar'],
    [/Idle speed/, idle],
    [/Highest speed/, top],
    [/The same, with the clamp screw/, '0.041'],
    [/Way of the rack/, '0.036'],
  ];
}

/** A technician who answers each screen; throws when a screen asks for something that he does not know. */
export function technician(answers: Answers): (screen: string) => string | Promise<string> {
  const table = replies(answers);
  let depth = 0;
  return (screen) => {
    if (/^ {2}Wait 1 s, until \d\d:\d\d:\d\d\.$/m.test(screen))
      return new Promise((done) => setTimeout(done, 1100, 'done'));
    if (/depth/i.test(screen) && / mm > $/.test(screen)) {
      depth += 1;
      return depth % 2 === 1 ? '12.40 mm' : '32.45 mm';
    }
    for (const [pattern, reply] of table) {
      const found = pattern.exec(screen);
      if (found !== null) return typeof reply === 'string' ? reply : reply(found);
    }
    throw new Error(`nobody knows what to answer:\n${screen}`);
  };
}
