import { spawn } from 'node:child_process';

/** Whether somebody sits before this terminal, with a screen that a browser can open on. */
export function hasScreen(
  env: Readonly<Record<string, string | undefined>> = process.env,
  platform: NodeJS.Platform = process.platform,
  isTerminal = process.stdout.isTTY === true,
): boolean {
  if (!isTerminal || env['CI'] !== undefined || env['SSH_CONNECTION'] !== undefined) return false;
  if (platform === 'darwin' || platform === 'win32') return true;
  return (env['DISPLAY'] ?? '') !== '' || (env['WAYLAND_DISPLAY'] ?? '') !== '';
}

/** Asks the system to open an address in the browser. That it cannot is no fault: the address is on the screen. */
export function openInBrowser(url: string): void {
  const [program, ...words] = openers[process.platform] ?? ['xdg-open'];
  const child = spawn(program, [...words, url], { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}

const openers: Readonly<Partial<Record<NodeJS.Platform, readonly [string, ...string[]]>>> = {
  darwin: ['open'],
  win32: ['rundll32', 'url.dll,FileProtocolHandler'],
};
