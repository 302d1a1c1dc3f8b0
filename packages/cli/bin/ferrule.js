#!/usr/bin/env node
import '../node-version.js';
import { existsSync } from 'node:fs';

// Inside a checkout the bundle is made again when a source file has changed; elsewhere there is nothing to make.
if (existsSync(new URL('../src/main.ts', import.meta.url))) {
  const { prepare } = await import('../prepare.js');
  await prepare();
}
await import('../dist/ferrule.js');
