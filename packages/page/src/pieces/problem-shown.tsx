import { token } from '../link/call.ts';
import type { Problem } from '../link/documents.ts';
import type { WayOut } from './way-out.ts';

/** What went wrong and what to do; where the server asks for its token, the place to give it. */
export function ProblemShown({
  problem,
  wayOut,
  onAgain,
}: {
  readonly problem: Problem;
  /** Where somebody goes on from it; a screen that knows none leaves what the server says. */
  readonly wayOut?: ((problem: Problem) => WayOut | undefined) | undefined;
  readonly onAgain: () => void;
}) {
  if (problem.code === 'no-token') return <TokenAsked onGiven={onAgain} />;
  const out = wayOut?.(problem);
  return (
    <section class="problem" role="alert">
      <h2>{problem.title}</h2>
      <p>{problem.detail}</p>
      <p class="remedy">{out?.advice ?? problem.remedy}</p>
      <div class="problem-ways">
        {out === undefined ? null : (
          <a class="second" href={out.to}>
            {out.title}
          </a>
        )}
        <button type="button" class="second" onClick={onAgain}>
          Try again
        </button>
      </div>
    </section>
  );
}

function TokenAsked({ onGiven }: { readonly onGiven: () => void }) {
  return (
    <form
      class="problem"
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget).get('token');
        if (typeof given !== 'string' || given.trim() === '') return;
        token.set(given.trim());
        onGiven();
      }}
    >
      <h2>This server asks for its token</h2>
      <p>Whoever started it has it in a file. It is kept until this tab is closed.</p>
      <label>
        Token
        <input name="token" type="password" autocomplete="off" required />
      </label>
      <button type="submit" class="main">
        Go on
      </button>
    </form>
  );
}

/** The server gives no answer, and there is nothing on this device to go on with. */
export function AwayShown({ onAgain }: { readonly onAgain: () => void }) {
  return (
    <section class="problem" role="alert">
      <h2>The server is not reached</h2>
      <p>This device has not seen what is asked for, so it cannot be shown from here.</p>
      <p class="remedy">
        Look whether the device is in the network of the workshop, and whether the server runs.
      </p>
      <button type="button" class="second" onClick={onAgain}>
        Try again
      </button>
    </section>
  );
}
