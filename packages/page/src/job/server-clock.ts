/** The time of the server as this device can know it: its own, shifted by what the last answer said. */
export class ServerClock {
  #ahead = 0;

  /** Takes in the date of an answer, in milliseconds since 1970. It is told in whole seconds, so a smaller difference is none. */
  heard(date: number | undefined): void {
    if (date === undefined) return;
    const ahead = date - Date.now();
    this.#ahead = Math.abs(ahead) < 2000 ? 0 : ahead;
  }

  /** RFC 3339, with the offset of this device. */
  now(): string {
    const at = new Date(Date.now() + this.#ahead);
    const offset = -at.getTimezoneOffset();
    const sign = offset < 0 ? '-' : '+';
    const two = (number: number): string => String(Math.floor(Math.abs(number))).padStart(2, '0');
    const local = new Date(at.getTime() + offset * 60_000).toISOString().slice(0, 19);
    return `${local}${sign}${two(offset / 60)}:${two(offset % 60)}`;
  }
}
