import { timesRunning } from '@ferrule/engine';
import { stepPlace } from '@ferrule/print';
import { useEffect, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';

/** Times since steps that are still to be judged: how long ago each was done, and what its limits are, before it is too late. */
export function TimesRunning({ session }: { readonly session: JobSession }) {
  const { plan, folded } = session;
  const running = timesRunning(plan, folded.value.job);
  const [now, setNow] = useState(() => Date.parse(session.now()));
  const isRunning = running.length > 0;
  useEffect(() => {
    if (!isRunning) return;
    setNow(Date.parse(session.now()));
    const tick = setInterval(() => setNow(Date.parse(session.now())), 1000);
    return () => clearInterval(tick);
  }, [session, isRunning]);
  if (!isRunning) return null;
  return (
    <div role="timer">
      <ul class="times">
        {running.map(({ since, at, limits }) => (
          <li key={since}>
            <strong>{clockOf(now - Date.parse(at))}</strong> since {stepPlace(plan, since)} was done
            {limits.length === 0 ? '' : `; ${limits.join('; ')}`}
          </li>
        ))}
      </ul>
    </div>
  );
}

/** `9:05` in minutes and seconds, `1:09:05` from an hour on. */
export function clockOf(milliseconds: number): string {
  const seconds = Math.max(0, Math.floor(milliseconds / 1000));
  const two = (number: number): string => String(number).padStart(2, '0');
  const [hours, minutes, rest] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return hours === 0 ? `${minutes}:${two(rest)}` : `${hours}:${two(minutes)}:${two(rest)}`;
}
