/** A time as the clock on the wall of this device has it, to the minute: 2026-01-05 07:30. */
export function localTime(time: string | undefined): string {
  const at = new Date(time ?? '');
  if (Number.isNaN(at.getTime())) return '';
  const two = (number: number): string => String(number).padStart(2, '0');
  const day = [at.getFullYear(), two(at.getMonth() + 1), two(at.getDate())].join('-');
  return `${day} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
