/** What is wrong with bytes that should have been a chunk; thrown inside the codec only, and turned into data at its edge. */
export class Damage extends Error {}

/** Appends to a buffer that grows. */
export class ByteWriter {
  #bytes = new Uint8Array(1024);
  #length = 0;

  #room(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const larger = new Uint8Array(Math.max(this.#bytes.length * 2, this.#length + more));
    larger.set(this.#bytes.subarray(0, this.#length));
    this.#bytes = larger;
  }

  byte(value: number): void {
    this.#room(1);
    this.#bytes[this.#length++] = value;
  }

  bytes(values: Uint8Array): void {
    this.#room(values.length);
    this.#bytes.set(values, this.#length);
    this.#length += values.length;
  }

  /** Whole number from 0 to 2^53 − 1, seven bits a byte, the lowest first. */
  whole(value: number): void {
    this.#room(8);
    let rest = value;
    while (rest >= 0x80) {
      this.#bytes[this.#length++] = (rest % 0x80) | 0x80;
      rest = Math.floor(rest / 0x80);
    }
    this.#bytes[this.#length++] = rest;
  }

  /** Whole number from −2^52 to 2^52, small ones of either sign in few bytes. */
  signed(value: number): void {
    this.whole(value >= 0 ? value * 2 : -value * 2 - 1);
  }

  double(value: number): void {
    const view = new DataView(new ArrayBuffer(8));
    view.setFloat64(0, value, true);
    this.bytes(new Uint8Array(view.buffer));
  }

  finish(): Uint8Array {
    return this.#bytes.slice(0, this.#length);
  }
}

/** Reads what `ByteWriter` wrote; anything that does not fit is a `Damage`. */
export class ByteReader {
  readonly #bytes: Uint8Array;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get left(): number {
    return this.#bytes.length - this.#at;
  }

  byte(): number {
    const value = this.#bytes[this.#at++];
    if (value === undefined) throw new Damage('ends too early');
    return value;
  }

  bytes(count: number): Uint8Array {
    if (count > this.left) throw new Damage('ends too early');
    this.#at += count;
    return this.#bytes.subarray(this.#at - count, this.#at);
  }

  whole(): number {
    let value = 0;
    for (let weight = 1; weight <= 2 ** 49; weight *= 0x80) {
      const byte = this.byte();
      value += (byte & 0x7f) * weight;
      if (byte < 0x80) {
        if (value > Number.MAX_SAFE_INTEGER) break;
        return value;
      }
    }
    throw new Damage('holds a number that is too long');
  }

  /** A count of things of which each takes at least one byte further on: bounds what damage can make us allocate. */
  count(): number {
    const value = this.whole();
    if (value > this.left) throw new Damage(`announces ${value} entries in ${this.left} bytes`);
    return value;
  }

  signed(): number {
    const value = this.whole();
    return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
  }

  double(): number {
    const part = this.bytes(8);
    return new DataView(part.buffer, part.byteOffset, 8).getFloat64(0, true);
  }
}
