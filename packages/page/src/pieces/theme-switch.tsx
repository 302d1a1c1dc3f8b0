import { effect, signal } from '@preact/signals';
import { onDevice } from '../link/text-store.ts';

type Theme = 'light' | 'dark';

const KEY = 'ferrule-theme';
const dark = matchMedia('(prefers-color-scheme: dark)');

const read = (): Theme | undefined => {
  const kept = onDevice.get(KEY);
  return kept === 'light' || kept === 'dark' ? kept : undefined;
};

const theme = signal<Theme>(read() ?? (dark.matches ? 'dark' : 'light'));
dark.addEventListener('change', ({ matches }) => {
  if (read() === undefined) theme.value = matches ? 'dark' : 'light';
});
effect(() => {
  document.documentElement.dataset['theme'] = theme.value;
});

/** Light for the sun, dark for the engine room. As the device has it, until it is said here. */
export function ThemeSwitch() {
  const other = theme.value === 'light' ? 'dark' : 'light';
  return (
    <button
      type="button"
      class="plain"
      aria-label={`Change to ${other}`}
      onClick={() => {
        theme.value = other;
        onDevice.set(KEY, other);
      }}
    >
      <svg viewBox="0 0 20 20" aria-hidden="true" class="theme-mark">
        <circle cx="10" cy="10" r="7" />
        <path d="M10 3a7 7 0 0 1 0 14z" />
      </svg>
    </button>
  );
}
