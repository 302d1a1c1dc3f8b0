// Serves docs/examples/embed-page.html on this machine only, with a pack frozen into a bundle, since a browser reads no
// YAML. From the root of a built checkout (npm run build): node docs/examples/serve-page.mjs [pack folder] [port]
import { readdir, readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { fileURLToPath } from 'node:url';
import { bundleOf, readPack } from '@ferrule/source';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const [, , folder = here('../../specs/valve-clearance/1.0.0'), port = '0'] = process.argv;
const { document, diagnostics } = await readPack(folder);
if (diagnostics.length > 0) throw new Error(diagnostics[0].message);

const files = {
  '/': ['text/html', await readFile(here('embed-page.html'))],
  '/embed-page.js': ['text/javascript', await readFile(here('embed-page.js'))],
  '/bundle.json': ['application/json', JSON.stringify({ document, digest: bundleOf(document).digest })],
};
// The built engine: index.js, validate.js and the pieces that they share.
const engine = here('../../packages/engine/dist');
for (const name of await readdir(engine)) {
  files[`/engine/${name}`] = ['text/javascript', await readFile(`${engine}/${name}`)];
}
const policy =
  "default-src 'none'; script-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'";

const server = createServer((request, response) => {
  const [type, body] = files[request.url] ?? [];
  if (body === undefined) {
    response.writeHead(404).end();
    return;
  }
  response.writeHead(200, {
    'content-type': `${type}; charset=utf-8`,
    'content-security-policy': policy,
    'x-content-type-options': 'nosniff',
  });
  response.end(body);
});
server.listen(Number(port), '127.0.0.1', () => console.log(`http://127.0.0.1:${server.address().port}/`));
