import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Found {
  readonly passes: readonly unknown[];
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** What axe finds wrong with a page as it stands. It throws where axe has not looked at much. */
export async function faultsOfAxe(page: Page): Promise<readonly string[]> {
  // By the protocol of the browser, since the policy of the page lets no script in.
  await page.evaluate(axe);
  const { passes, violations } = (await page.evaluate('axe.run(document)')) as Found;
  if (passes.length <= 10) throw new Error(`axe passed only ${passes.length} of its rules`);
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' | ')}`);
}
