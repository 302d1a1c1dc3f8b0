import { bundleOf, readBundle, readPackFromFiles } from '@ferrule/source';
import { expect, test } from 'vitest';

const packOf = (observation: string) =>
  readPackFromFiles(
    new Map([
      ['pack.yaml', 'pack: demo\n'],
      [
        'procedures/look.yaml',
        `procedure: look\nobservations:\n  seat:\n    text: The seat is …\n${observation}`,
      ],
    ]),
  ).document;

const orderIn = (document: unknown): unknown => {
  const at = (one: unknown, key: string): unknown => Object(one)[key];
  return ['procedures', 'look', 'observations', 'seat', 'order'].reduce(at, document);
};

test.each([
  ['another order than a bundle has', '    answers: { sound: sound, bent: bent }\n', ['sound', 'bent']],
  ['the order of a bundle', '    answers: { bent: bent, sound: sound }\n', undefined],
  [
    'an order that the author states',
    '    answers: { sound: sound, bent: bent }\n    order: [bent, sound]\n',
    ['bent', 'sound'],
  ],
  ['no answers', '    answers: sound\n', undefined],
])('answers in %s come out of the bundle in that order', (_, observation, order) => {
  const document = packOf(observation);
  expect(orderIn(document)).toEqual(order);
  expect(orderIn(readBundle(bundleOf(document).text).document)).toEqual(order);
});

test('a procedure without observations stays as it is', () => {
  const files = new Map([['pack.yaml', 'pack: demo\nprocedures: { look: { title: Look }, other: text }\n']]);
  expect(readPackFromFiles(files).document).toEqual({
    pack: 'demo',
    procedures: { look: { title: 'Look' }, other: 'text' },
  });
});
