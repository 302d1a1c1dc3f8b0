import { JudgingChosen } from '../judged-again/judging-chosen.tsx';
import { RejudgingScreen } from '../judged-again/rejudging-screen.tsx';
import '../style/audit.css';
import '../style/judged.css';
import '../style/readings.css';

/** Jobs of the store judged by another revision: beginning it, and what came of it. */
export function JudgedScreen({
  rejudging,
  asked,
}: {
  readonly rejudging: string | undefined;
  readonly asked: string;
}) {
  return rejudging === undefined ? (
    <JudgingChosen asked={asked} />
  ) : (
    <RejudgingScreen rejudging={rejudging} />
  );
}
