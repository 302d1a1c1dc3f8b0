import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { headersOf } from '../link/call.ts';

/** Fetches a file with the token that the server may ask for, and hands it to the browser to be kept under a name. */
export function FileButton({
  from,
  name,
  children,
}: {
  readonly from: string;
  readonly name: string;
  readonly children: ComponentChildren;
}) {
  const [state, setState] = useState<'idle' | 'coming' | 'failed'>('idle');
  const fetchIt = async (): Promise<void> => {
    setState('coming');
    try {
      const response = await fetch(from, { headers: headersOf() });
      if (response.ok) keep(await response.blob(), name);
      setState(response.ok ? 'idle' : 'failed');
    } catch {
      setState('failed');
    }
  };
  return (
    <>
      <button type="button" class="second" disabled={state === 'coming'} onClick={() => void fetchIt()}>
        {children}
      </button>
      {state === 'failed' ? <p role="alert">The server did not give the file. Try again.</p> : null}
    </>
  );
}

function keep(file: Blob, name: string): void {
  const address = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken hold of the file by the time that anything else is done.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
