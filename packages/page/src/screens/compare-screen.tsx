import { ChooseRevisions } from '../comparison/choose-revisions.tsx';
import { ComparisonScreen } from '../comparison/comparison-screen.tsx';
import '../style/audit.css';

/** What one revision of a pack has otherwise than another: choosing the two, and reading what came of it. */
export function CompareScreen({
  pack,
  before,
  after,
  sought,
  asked,
}: {
  readonly pack: string | undefined;
  readonly before: string | undefined;
  readonly after: string | undefined;
  readonly sought: string | undefined;
  readonly asked: string;
}) {
  return pack === undefined || before === undefined || after === undefined ? (
    <ChooseRevisions />
  ) : (
    <ComparisonScreen pack={pack} before={before} after={after} sought={sought} asked={asked} />
  );
}
