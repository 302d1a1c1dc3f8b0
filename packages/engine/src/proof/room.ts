/** Room for the bytes of very many controls: views on large blocks are much cheaper than small arrays of their own. */
export class Room {
  #block = new Uint8Array(0);
  #used = 0;

  copy(bytes: Uint8Array): Uint8Array {
    if (this.#used + bytes.length > this.#block.length) {
      this.#block = new Uint8Array(Math.max(1 << 18, bytes.length));
      this.#used = 0;
    }
    const view = this.#block.subarray(this.#used, this.#used + bytes.length);
    view.set(bytes);
    this.#used += bytes.length;
    return view;
  }

  /** Takes back the room that was handed out last, where it was not needed. */
  giveBack(bytes: Uint8Array): void {
    if (bytes.buffer === this.#block.buffer && bytes.byteOffset + bytes.length === this.#used)
      this.#used -= bytes.length;
  }
}
