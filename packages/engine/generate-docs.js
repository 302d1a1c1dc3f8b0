// Makes the reference page of the format, docs/format.md, from schema/pack.schema.yaml: descriptions, keys, what is
// needed, and an example for each form. generate.js calls it; tests/docs/examples.test.ts tries the examples.
import { dump, FAILSAFE_SCHEMA, load } from 'js-yaml';

/** The sections of the page, in reading order. Every definition of the schema stands in one of them. */
const sections = [
  [
    'What a pack declares',
    'Everything that steps name is declared once, in any file of the pack folder.',
    [
      'UsedLibrary',
      'Titled',
      'InUse',
      'RequiredCondition',
      'Hazard',
      'Instrument',
      'Table',
      'Calibration',
      'TorqueClass',
      'InstrumentConcession',
      'Part',
      'Joint',
      'Stock',
      'Field',
      'State',
      'StateMap',
      'Interlock',
      'Variant',
    ],
  ],
  [
    'Procedures',
    'One file each under `procedures/`, with `procedure: its-name` at the top.',
    [
      'Procedure',
      'Preliminary',
      'Reading',
      'Repeats',
      'Carry',
      'Observation',
      'Derived',
      'Expression',
      'Tolerance',
      'Parking',
    ],
  ],
  [
    'The order of the work',
    'What stands in `steps`. The words are done from top to bottom.',
    [
      'Nodes',
      'Node',
      'Step',
      'Tighten',
      'Adapter',
      'Select',
      'ReferTo',
      'Identify',
      'Block',
      'Each',
      'Perform',
      'Choose',
      'HoldPoint',
    ],
  ],
  [
    'Conditions',
    'For `only-if` and for the cases of a choice.',
    [
      'Condition',
      'VariantCondition',
      'GivenCondition',
      'StateCondition',
      'ObservedCondition',
      'LogicCondition',
    ],
  ],
  [
    'What follows a bad result',
    'For `if-nonconforming`, `if-inconclusive` and `if-struck`.',
    [
      'Outcome',
      'SidedOutcome',
      'Remedy',
      'Rework',
      'HoldRemedy',
      'Hold',
      'Release',
      'ConcessionRelease',
      'ReworkRelease',
      'WitnessRelease',
    ],
  ],
  [
    'Trials',
    'In files under `trials/`: one with `trial: its-name`, or several in a list under `trials:`.',
    [
      'Trial',
      'Answers',
      'CarriedAnswer',
      'InstrumentInUse',
      'ReleaseAnswer',
      'Placed',
      'TrialEvent',
      'Expectation',
      'RefusalCode',
    ],
  ],
  [
    'Overlays',
    'What a shop adds to a released pack stands in a folder of its own, in `overlay.yaml`, files beside it, and trials in `trials/`. It is laid over the pack with `--overlay`: see [overlays.md](overlays.md).',
    [
      'Overlay',
      'OverlaidPack',
      'MoreRequirements',
      'MoreCautions',
      'MoreWitnesses',
      'MoreHoldPoints',
      'StricterLimits',
      'FinerInstrument',
      'Overlaid',
    ],
  ],
  [
    'Names and values',
    'How single values are written. All of them are text.',
    [
      'Id',
      'Name',
      'Text',
      'QuantityText',
      'QuantityKind',
      'Limit',
      'ErrorText',
      'ShareText',
      'Count',
      'Yes',
      'Shape',
      'Per',
      'OneOrMore',
      'OneOrMoreTexts',
      'StepOfProcedure',
    ],
  ],
];

/** The named forms of an expression: what stands in each, what it gives, and an example over the small pack. */
export const namedForms = [
  ['difference', 'a list of two', 'the first less the second', { difference: ['depth-open', 'depth-shut'] }],
  [
    'change',
    'a map with `from` and `to`',
    'what `to` shows less what `from` showed',
    { change: { from: 'rack-shift@1', to: 'after-clamping@1' } },
  ],
  [
    'share',
    'a map with `of` and `in`, of one kind',
    '`of` divided by `in`: a ratio',
    { share: { of: 'depth-shut', in: 'depth-open' } },
  ],
  [
    'spread',
    'a list, or a quantified name',
    'the highest less the lowest',
    { spread: { 'every-bore': 'rack-shift' } },
  ],
  ['lowest', 'a list, or a quantified name', 'the lowest of them', { lowest: ['depth-open', 'depth-shut'] }],
  [
    'highest',
    'a list, or a quantified name',
    'the highest of them',
    { highest: ['rack-shift@1', 'rack-shift@2', '0.020 mm'] },
  ],
  ['mean', 'a list, or a quantified name', 'the arithmetic mean', { mean: { 'every-bore': 'rack-shift' } }],
  [
    'around',
    'a map with `of` and `circle`, a whole circle that is written out',
    '`of`, shifted by whole circles until it is at most half a circle, to either side',
    { around: { of: { difference: ['359.5°', '0.5°'] }, circle: '360°' } },
  ],
  [
    'table',
    'a map with `of`, the name of a table, and `at`',
    'what the table gives there, in proportion between two points; outside of it nothing',
    { table: { of: 'leak-down-by-temperature', at: 'oil-temperature' } },
  ],
  [
    'elapsed',
    'a map with `since`, and `until` where it ends with a step: names of steps',
    'the time since that step was done; only in what a tolerance judges',
    { elapsed: { since: 'measure' } },
  ],
];

const formsTable = () => [
  'What stands in a named form is of one kind. There a bare text is the name that it spells, and a text with a unit is a',
  'quantity; in JSON Logic a name stands in `{ var: … }`.',
  '',
  '| form | takes | gives | example |',
  '|---|---|---|---|',
  ...namedForms.map(
    ([name, takes, gives, example]) =>
      `| \`${name}\` | ${takes} | ${gives} | \`${flow(example).slice(2, -2)}\` |`,
  ),
];

const heading = (name) =>
  name.replace(/(?<=[a-z])(?=[A-Z])/g, ' ').replace(/ [A-Z]/g, (c) => c.toLowerCase());
const anchor = (name) => heading(name).toLowerCase().replaceAll(' ', '-');
const link = (ref) => {
  const name = ref.slice('#/$defs/'.length);
  return `[${heading(name).toLowerCase()}](#${anchor(name)})`;
};
const code = (words) => words.map((word) => `\`${word}\``);
const either = (words) =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;

/** What may stand for a value, in a few words. */
function says(schema) {
  if (schema.$ref !== undefined) return link(schema.$ref);
  if (schema.const !== undefined) return `\`${schema.const}\``;
  if (schema.enum !== undefined) return either(code(schema.enum));
  if (schema.anyOf !== undefined) return either([...new Set(schema.anyOf.map(says))]);
  if (schema.type === 'array') {
    const of = schema.items.properties === undefined ? says(schema.items) : 'maps';
    return schema.minItems === '2' && schema.maxItems === '2' ? `two: ${of}` : `list of ${of}`;
  }
  if (schema.type !== 'object') return 'text';
  if (typeof schema.additionalProperties === 'object')
    return `map of names, each to ${says(schema.additionalProperties)}`;
  return 'map';
}

/** One row a key, those of maps inside below it. */
function rows(schema, prefix = '') {
  const needed = schema.required ?? [];
  return Object.entries(schema.properties ?? {}).flatMap(([key, item]) => {
    const name = prefix + key;
    const inside = [
      item,
      item.items ?? {},
      typeof item.additionalProperties === 'object' ? item.additionalProperties : {},
    ];
    const within = ['.', '[].', '.*.'];
    return [
      `| \`${name}\` | ${needed.includes(key) ? 'needed' : ''} | ${says(item)} | ${described(item)} |`,
      ...inside.flatMap((one, place) =>
        one.properties === undefined ? [] : rows(one, name + within[place]),
      ),
    ];
  });
}

const described = (item) =>
  [item.description, ...(item.anyOf ?? []).map((one) => one.description)]
    .filter((text) => text !== undefined)
    .join(' ')
    .replaceAll('|', '\\|');

const table = (schema) => ['| key | | takes | what it is |', '|---|---|---|---|', ...rows(schema)].join('\n');

const scalar = (text) => dump(text, { schema: FAILSAFE_SCHEMA, lineWidth: -1 }).trimEnd();
/** A value on one line, where that is safe: braces in a text would have to be quoted. */
function flow(value) {
  if (Array.isArray(value)) return `[${value.map(flow).join(', ')}]`;
  if (typeof value === 'object')
    return `{ ${Object.entries(value)
      .map(([k, v]) => `${key(k)}: ${flow(v)}`)
      .join(', ')} }`;
  return /[{}[\],]/.test(value) && !/^['"]/.test(scalar(value))
    ? `'${value.replaceAll("'", "''")}'`
    : scalar(value);
}
const key = (text) => scalar(text);
const isShort = (value, indent) => flow(value).length + indent <= 100 && !/\{[a-z]/.test(flow(value));

/** YAML as an author would write it: short maps and lists on one line, everything else below its key. */
function yaml(value, indent = 0) {
  const pad = ' '.repeat(indent);
  const one = (name, item) => {
    const isLeaf = typeof item === 'string';
    const hasSteps = !isLeaf && JSON.stringify(item).includes('"step"');
    if (isLeaf) return `${name}${scalar(item)}`;
    if (isShort(item, indent + name.length) && !hasSteps) return `${name}${flow(item)}`;
    return undefined;
  };
  if (Array.isArray(value)) {
    return value
      .map((item) => `${pad}${one('- ', item) ?? `- ${yaml(item, indent + 2).trimStart()}`}`)
      .join('\n');
  }
  return Object.entries(value)
    .map(
      ([name, item]) => `${pad}${one(`${key(name)}: `, item) ?? `${key(name)}:\n${yaml(item, indent + 2)}`}`,
    )
    .join('\n');
}

function form(name, schema) {
  const parts = [`### ${heading(name)}`];
  if (schema.description !== undefined) parts.push(schema.description);
  const byKey = schema['x-by-key'];
  if (byKey !== undefined) {
    const forms = Object.entries(byKey).map(([word, ref]) => `| \`${word}\` | ${link(`#/$defs/${ref}`)} |`);
    parts.push(['| the key | says that it is |', '|---|---|', ...forms].join('\n'));
  } else if (schema.properties !== undefined) parts.push(table(schema));
  else if (schema.enum !== undefined) parts.push(`One of ${code(schema.enum).join(', ')}.`);
  else if (schema.pattern !== undefined) parts.push(`Pattern: \`${schema.pattern}\``);
  if (schema.oneOf !== undefined) {
    const ways = schema.oneOf.map((way) => code(way.required).join(' with '));
    parts.push(`Exactly one of: ${ways.join('; ')}.`);
  }
  if (name === 'Expression') parts.push(formsTable().join('\n'));
  if (schema['x-example'] !== undefined) parts.push(`\`\`\`yaml\n${yaml(schema['x-example'])}\n\`\`\``);
  return parts.join('\n\n');
}

const opening = `<!-- Generated from packages/engine/schema/pack.schema.yaml by \`npm run generate\`. Do not edit. -->

# The format

A pack is a folder of YAML files. This page lists every key that may stand in them, form by form, with an example of
each; the tests put every example into a small pack and resolve it. What a procedure does when it is run stands in
[semantics.md](semantics.md), what a complaint of \`check\` means in [diagnostics/](diagnostics/README.md), and a first pack
is built step by step in [tutorial.md](tutorial.md). The format is published as
JSON Schema 2020-12: \`packages/engine/schema/pack.schema.json\` for the merged pack, and beside it one for each kind of
file, for completion in an editor that reads YAML schemas: \`section-file\`, \`procedure-file\`, \`trial-file\` and \`overlay-file\`. Many
editors take a line at the top of a file:

\`\`\`
# yaml-language-server: $schema=../../../../packages/engine/schema/procedure-file.schema.json
\`\`\`

Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.

## The files

\`\`\`
specs/<pack>/<revision>/pack.yaml        must be there
specs/<pack>/<revision>/<any>.yaml       more sections: states, parts, engines …
specs/<pack>/<revision>/procedures/*.yaml
specs/<pack>/<revision>/trials/*.yaml
\`\`\`

The files at the top are merged: the keys of one map may stand in several files, but each key once. Every scalar is
text until this page says what it is: \`on\`, \`no\`, \`1.10\` and \`0.20\` are what you see. Only what YAML itself reads
needs quotes: a text that starts with \`{\`, \`[\`, \`'\`, \`"\`, \`*\`, \`&\`, \`!\`, \`%\`, \`@\`, a colon with a space after it,
and, inside \`{ … }\` or \`[ … ]\`, a comma or a brace. Tags, merge keys and duplicate keys are refused.

A key of your own may stand in most forms if it starts with \`x-\`. It may hold anything, is carried into the bundle and covered by
its digest and its release, and nothing interprets it.`;

/** The page, from the text of the schema. Throws when a definition has no section: that is a defect of this script. */
export function formatPage(schemaText) {
  const schema = load(schemaText, { schema: FAILSAFE_SCHEMA });
  const placed = new Set(sections.flatMap(([, , names]) => names));
  const astray = Object.keys(schema.$defs).filter((name) => !placed.has(name));
  if (astray.length > 0) throw new Error(`generate-docs.js has no section for ${astray.join(', ')}`);
  const pack = ['## The pack', schema.description, table(schema)];
  const rest = sections.flatMap(([title, about, names]) => [
    `## ${title}`,
    about,
    ...names.map((name) => form(name, schema.$defs[name])),
  ]);
  return `${[opening, ...pack, ...rest].join('\n\n')}\n`;
}
