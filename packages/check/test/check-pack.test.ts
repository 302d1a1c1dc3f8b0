import { describe, expect, test } from 'vitest';
import { checkPack } from '../src/index.ts';
import { folderOf, smallPack } from './folder.ts';

const found = async (changes: Parameters<typeof smallPack>[0]): Promise<readonly string[]> => {
  const { diagnostics } = await checkPack(folderOf(smallPack(changes)));
  return diagnostics.map(
    (one) => `${one.span?.file}:${one.span?.line}:${one.span?.column} ${one.severity} ${one.code}`,
  );
};

describe('checkPack', () => {
  test('finds nothing in a pack that is right, and proves each variant', async () => {
    const { diagnostics, proofs, digest } = await checkPack(folderOf(smallPack()));
    expect(diagnostics).toEqual([]);
    expect(proofs.map((one) => [one.procedure, one.variant, one.exploration.reachesEnd])).toEqual([
      ['check-gap', 'small', true],
      ['check-gap', 'large', true],
    ]);
    expect(digest).toMatch(/^sha256:[0-9a-f]{64}$/);
  });

  test('a long list under a key of the author is no matter, a long list of laws is one fault', async () => {
    const long = `[${Array(150_000).fill('1').join(',')}]`;
    const procedure: readonly [string, string] = [
      'procedure: check-gap\n',
      `procedure: check-gap\nx-b: ${long}\n`,
    ];
    expect(await found([procedure])).toEqual([]);
    const [laws, ...others] = await found([
      ['interlocks:\n  - {', `x-laws:\n  - {`],
      ['operations: {', `interlocks: ${long}\noperations: {`],
    ]);
    expect(laws).toMatch(/^pack.yaml:\d+:\d+ error wrong-form$/);
    expect(others).toEqual([]);
  });

  test('a proof that was cut short is an error, and says what multiplies the states', async () => {
    const ids = Array.from({ length: 18 }, (_, i) => `o-${i}`);
    const { diagnostics } = await checkPack(
      folderOf(
        smallPack([
          [
            'readings:\n',
            `observations:\n${ids.map((id) => `  ${id}: { text: It ${id}, answers: { runs: runs, stands: stands } }\n`).join('')}readings:\n`,
          ],
          [
            'steps:\n',
            `steps:\n${ids.map((id) => `  - { step: see-${id}, observe: ${id} }\n`).join('')}${ids.map((id) => `  - { step: use-${id}, do: Use it., only-if: { observed: { ${id}: runs } } }\n`).join('')}`,
          ],
        ]),
      ),
      { mostStates: 200 },
    );
    expect(diagnostics.map((one) => `${one.severity} ${one.code} ${one.pointer}`)).toEqual([
      'error unfinished-proof /procedures/check-gap',
      'error unfinished-proof /procedures/check-gap',
    ]);
    expect(diagnostics[0]?.remedy).toMatch(/ stand at see-o-\d+, told apart by o-0, o-1, .* and \d+ more, /);
    expect(diagnostics[0]?.other?.[0]?.pointer).toMatch(/^\/procedures\/check-gap\/steps\/\d+$/);
  });

  const table: readonly (readonly [
    what: string,
    changes: Parameters<typeof smallPack>[0],
    expected: readonly string[],
  ])[] = [
    [
      'a mistyped key, at the key',
      [['if-nonconforming:', 'if-nonconformnig:']],
      ['procedures/check-gap.yaml:15:5 error unknown-key'],
    ],
    [
      'a mistyped state, at its name',
      [
        [
          'cover-on, do: Put the cover on., changes: { cover:',
          'cover-on, do: Put the cover on., changes: { covr:',
        ],
      ],
      ['procedures/check-gap.yaml:21:57 error unknown-name'],
    ],
    [
      'a change forgotten: the end is wrong',
      [["changes: { cover: ['off', 'on'] } }", '}']],
      ['pack.yaml:10:51 error wrong-end'],
    ],
    [
      'a change forgotten: a law is broken and the next change cannot start',
      [["cover off., changes: { cover: ['on', 'off'] } }", 'cover off. }']],
      ['pack.yaml:10:16 warning never-entered', 'procedures/check-gap.yaml:10:5 error law-broken'],
    ],
    [
      'a tolerance that nothing judges',
      [
        ['    judge: gap-limits\n', ''],
        [
          '    if-nonconforming:\n      rework:\n        - { step: bend, do: Bend the tongue. }\n      resume-at: probe-gap\n      attempts: 2\n      exhausted: ask-the-lead\n',
          '',
        ],
      ],
      ['pack.yaml:16:3 warning unused-name', 'procedures/check-gap.yaml:7:3 error never-judged'],
    ],
    [
      'an instrument that is not declared',
      [['instrument: feeler', 'instrument: feler']],
      ['procedures/check-gap.yaml:5:66 error unknown-name'],
    ],
    [
      'limits turned round',
      [['[0.5 mm, 1.0 mm]', '[1.0 mm, 0.5 mm]']],
      ['procedures/check-gap.yaml:7:35 error reversed-pair'],
    ],
    [
      'a dual statement that does not agree',
      [['[0.5 mm, 1.0 mm]', '[0.5 mm (0.020 in), 1.0 mm (0.093 in)]']],
      ['procedures/check-gap.yaml:7:55 error dual-disagrees'],
    ],
    [
      'a fact that nothing reads',
      [['large: { title: Large engine }', 'large: { title: Large engine, facts: { gap: 1 mm } }']],
      ['pack.yaml:14:84 warning unused-name'],
    ],
    [
      'plausible values that the instrument cannot show',
      [['plausible: [0 mm, 5 mm]', 'plausible: [0 mm, 6 mm]']],
      ['procedures/check-gap.yaml:5:85 warning beyond-instrument'],
    ],
    [
      'limits that no plausible value misses, and their rework that nothing leads to',
      [['[0.5 mm, 1.0 mm]', '[0 mm, 5 mm]']],
      [
        'procedures/check-gap.yaml:7:35 warning cannot-fail',
        'procedures/check-gap.yaml:17:11 warning unreachable',
      ],
    ],
    [
      'limits on one side that no plausible value misses',
      [['between: [0.5 mm, 1.0 mm]', 'at-most: 10 mm']],
      [
        'procedures/check-gap.yaml:7:35 warning cannot-fail',
        'procedures/check-gap.yaml:17:11 warning unreachable',
      ],
    ],
    [
      'limits that no plausible value keeps',
      [['[0.5 mm, 1.0 mm]', '[10 mm, 20 mm]']],
      ['procedures/check-gap.yaml:7:35 error cannot-conform'],
    ],
    ['limits that some plausible values keep', [['[0.5 mm, 1.0 mm]', '[4 mm, 5 mm]']], []],
    [
      'limits beyond what is plausible on one side',
      [['[0.5 mm, 1.0 mm]', '[5 mm, 20 mm]']],
      ['procedures/check-gap.yaml:7:35 warning cannot-fail'],
    ],
    ...[
      [`identity: '"T"-99'`, 33],
      [`tied-to-bore: yes, identity: '"T"-99'`, 33],
      [`identity: '"T"-99', matched-with: [tongue]`, 53],
    ].map(
      ([keys, column]) =>
        [
          `a part with ${keys} that no step identifies`,
          [
            ['roles:', `parts: { tongue: { title: Tong, ${keys} } }\nroles:`],
            [
              "cover on., changes: { cover: ['off', 'on'] } }",
              `cover on., changes: { cover: ['off', 'on'] } }
  - { step: out, remove: tongue }
  - { step: in, renew: tongue }`,
            ],
            ['spares: []', 'spares: [tongue]'],
          ],
          [
            `pack.yaml:6:${column} warning unused-name`,
            // A part that is its own set is found besides.
            ...(String(keys).includes('[tongue]') ? ['pack.yaml:6:68 error split-set'] : []),
          ],
        ] as const,
    ),
    ['a trial like no other', [['like: good', 'like: goood']], ['trials/all.yaml:18:11 error unknown-name']],
    [
      'a syntax error hides nothing else of its file',
      [['readings:\n', 'readings\n']],
      ['procedures/check-gap.yaml:4:1 error yaml-syntax'],
    ],
  ];
  test('a wrong end says how the state stands there', async () => {
    const { diagnostics } = await checkPack(
      folderOf(smallPack([["changes: { cover: ['off', 'on'] } }", '}']])),
    );
    expect(diagnostics[0]?.remedy).toBe(
      'cover is off there. Change it in a step on that way, or add off to its ends.',
    );
  });

  test.each(table)('%s', async (_what, changes, expected) => {
    const got = await found(changes);
    expect(got).toEqual(expected);
  });
});
