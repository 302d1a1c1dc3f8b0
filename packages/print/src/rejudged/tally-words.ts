import { cannotReasons } from '@ferrule/compare/document';

/** What a tally of jobs judged again counts, in words: of `changed conforming to nonconforming`, what it was and what it is. */
export function tallyWords(what: string): string {
  const [outcome = '', ...rest] = what.split(' ');
  const verdicts = rest.join(' ');
  switch (outcome) {
    case 'cannot':
      return isReason(verdicts) ? `cannot be judged: ${lower(cannotReasons[verdicts])}` : what;
    case 'untouched':
      return `${verdicts}, not judged again`;
    case 'same':
      return `${verdicts} as before`;
    case 'gone':
      return `${verdicts} then, not judged any more`;
    case 'added':
      return `${verdicts} now, not judged then`;
    case 'unexplained':
      return `${verdicts} though nothing has changed`;
    default:
      return verdicts;
  }
}

const isReason = (text: string): text is keyof typeof cannotReasons => Object.hasOwn(cannotReasons, text);
const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1).replace(/\.$/, '');
