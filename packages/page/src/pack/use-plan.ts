import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { useMemo } from 'preact/hooks';
import type { Called } from '../link/call.ts';
import { useDocument } from '../pieces/use-document.ts';

/** A pack by its digest, and the plan of one of its procedures for an engine, made here. */
export function usePlan(
  digest: string,
  procedure: string,
  variant: string,
): {
  readonly came: Called<{ readonly document: Pack }> | undefined;
  readonly again: () => void;
  readonly made: { readonly pack: Pack; readonly plan: Plan } | undefined;
} {
  const { came, again } = useDocument<{ readonly document: Pack }>(`/bundles/${digest}`);
  const pack = came?.came === 'document' ? came.document.document : undefined;
  const made = useMemo(() => {
    const { plan } = pack === undefined ? {} : resolve(pack, { procedure, variant });
    return pack === undefined || plan === undefined ? undefined : { pack, plan };
  }, [pack, procedure, variant]);
  return { came, again, made };
}
