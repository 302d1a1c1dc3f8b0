import { createHash } from 'node:crypto';
import type { Answer } from './route.ts';

/**
 * A page that loads and runs nothing. Its policy lets through the styles that stand in it, by their digests, and nothing that
 * could come from a pack.
 */
export function page(html: string): Answer {
  const styles = [...html.matchAll(/<style>([\s\S]*?)<\/style>/g)].map(
    ([, style = '']) => `'sha256-${digest(style)}'`,
  );
  const policy = [
    "default-src 'none'",
    ...(styles.length === 0 ? [] : [`style-src ${styles.join(' ')}`]),
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
    'sandbox allow-modals',
  ].join('; ');
  return {
    status: 200,
    type: 'text/html; charset=utf-8',
    content: html,
    headers: { 'content-security-policy': policy },
  };
}

const digest = (style: string): string => createHash('sha256').update(style).digest('base64');
