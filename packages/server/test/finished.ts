import { expect } from 'vitest';
import type { Reply, Rig } from './rig.ts';

/** Asks until it is finished. */
export async function finished(rig: Rig, url: string): Promise<Reply> {
  for (;;) {
    const reply = await rig.get(url);
    if (reply.status !== 202) return reply;
    expect(reply.json['working']).toMatchObject({ doing: expect.stringMatching(/./) });
  }
}
