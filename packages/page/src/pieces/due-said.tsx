/** The day as a device has it, as `2026-11-26`. */
const today = (): string => {
  const now = new Date();
  const two = (number: number): string => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
};

/** A calibration that runs out within so many days is said to. */
const SOON = 30;

/** What there is to say of a calibration that is good until a day, that day included. */
export function dueWords(due: string, on = today()): { readonly isOver: boolean; readonly words: string } {
  const days = Math.round((Date.parse(due) - Date.parse(on)) / 86_400_000);
  if (Number.isNaN(days)) return { isOver: false, words: '' };
  if (days < 0) return { isOver: true, words: `overdue since ${due}` };
  if (days > SOON) return { isOver: false, words: `good until ${due}` };
  return {
    isOver: false,
    words: days === 0 ? 'runs out today' : `runs out in ${days} ${days === 1 ? 'day' : 'days'}`,
  };
}

/** Whether the calibration of an instrument has run out, said as soon as the day is there. */
export function DueSaid({ due }: { readonly due: string }) {
  const { isOver, words } = dueWords(due);
  return words === '' ? null : <span class={isOver ? 'due due-over' : 'due'}>{words}</span>;
}
