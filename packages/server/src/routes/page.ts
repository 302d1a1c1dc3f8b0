import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

/** The page loads and runs what the server has for it, and nothing else. Pictures may be ones that were just taken. */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

interface PageFile {
  readonly type: string;
  readonly plain: Form;
  /** As it is sent to whom takes gzip (RFC 1952); undefined where that saves nothing. */
  readonly short: Form | undefined;
}

/** One way in which a file is sent, and the tag by which that is known again. */
interface Form {
  readonly content: Buffer;
  readonly tag: string;
}

/**
 * The page, from a folder as it was built: `index.html` at `/`, everything else under `/page/`. Its files are read once and known
 * by name, so no address leads to another file. They hold nothing of the shop and are sent without a token; what the page
 * shows it asks for like every other program.
 */
export function addPage(app: FastifyInstance, folder: string): void {
  const files = filesOf(folder);
  for (const [name, { type, plain, short }] of files) {
    app.route({
      method: 'GET',
      url: name === 'index.html' ? '/' : `/page/${name}`,
      schema: { hide: true },
      config: { isPublic: true },
      handler: (request, reply) => {
        const form = short !== undefined && takesGzip(request.headers['accept-encoding']) ? short : plain;
        reply
          .header('vary', 'accept-encoding')
          .header('content-security-policy', policy)
          .header('etag', form.tag)
          // Names of what the page loads change with their contents; the rest is asked for anew each time.
          .header('cache-control', name.startsWith('assets/') ? 'max-age=31536000, immutable' : 'no-cache');
        if (name.endsWith('worker.js')) reply.header('service-worker-allowed', '/');
        if (request.headers['if-none-match'] === form.tag) return reply.code(304).send();
        if (form === short) reply.header('content-encoding', 'gzip');
        return reply.type(type).send(form.content);
      },
    });
  }
}

/** Whether a folder holds a page that was built. */
export const hasPage = (folder: string): boolean => existsSync(join(folder, 'index.html'));

function filesOf(folder: string): ReadonlyMap<string, PageFile> {
  const names = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && extname(entry.name) in types)
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll('\\', '/'),
    );
  return new Map(
    names.map((name) => {
      const content = readFileSync(join(folder, name));
      const tag = createHash('sha256').update(content).digest('base64url').slice(0, 22);
      const short = gzipSync(content, { level: 9 });
      return [
        name,
        {
          type: types[extname(name)] ?? 'application/octet-stream',
          plain: { content, tag: `"${tag}"` },
          short: short.length < content.length ? { content: short, tag: `"${tag}-gzip"` } : undefined,
        },
      ];
    }),
  );
}

/** Whether gzip is among the content codings that a caller takes (RFC 9110, 12.5.3); a weight of zero says that it is not. */
const takesGzip = (accepted: string | readonly string[] | undefined): boolean =>
  [accepted ?? '']
    .flat()
    .join(',')
    .split(',')
    .map((coding) => coding.split(';').map((part) => part.trim().toLowerCase()))
    .some(([name, weight = '']) => name === 'gzip' && !/^q=0(?:\.0{0,3})?$/.test(weight));

declare module 'fastify' {
  interface FastifyContextConfig {
    /** It is sent to everybody who reaches the server, with or without the token. */
    readonly isPublic?: true;
  }
}
