import { describe, expect, it } from 'vitest';
import { Markup, markup } from '../src/markup.ts';

describe('markup', () => {
  // HTML, 13.1.2.3 and 13.1.4 (read): what ends an attribute, a tag or a text.
  it.each([
    ['<b>', '&lt;b&gt;'],
    ['"\'`', '&quot;&#39;&#96;'],
    ['&lt;', '&amp;lt;'],
    ['a\u0000\u001bb\u202ec', 'a\ufffd\ufffdb\ufffdc'],
    ['\ud800x', '\ufffdx'],
    ['\u{1f527}\nN·m', '\u{1f527}\nN·m'],
  ])('%j is put in as %j', (text, escaped) => {
    expect(markup`<p title="${text}">${text}</p>`.toString()).toBe(`<p title="${escaped}">${escaped}</p>`);
  });
  it('takes pieces, lists and nothing as they are', () => {
    const piece = markup`<i>${'&'}</i>`;
    expect(markup`${[piece, [1, '<']]}${undefined}${Markup.trusted('<hr>')}`.toString()).toBe(
      '<i>&amp;</i>1&lt;<hr>',
    );
  });
});
