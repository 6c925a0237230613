// A program image (ELF, 32 bits, little endian): the bytes that lie in flash, and the addresses of its functions. Running
// it is left to the board.

import fs from 'node:fs';

const FLASH = 0x10000000;
const FLASH_END = 0x11000000;
const LOAD = 1;
const SYMBOL_TABLE = 2;

export class Image {
  constructor(path) {
    const bytes = fs.readFileSync(path);
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
    if (view.getUint32(0, false) !== 0x7f454c46) throw new Error(`${path} is no ELF file`);
    this.bytes = bytes;
    this.view = view;
    /** What lies in flash: [offset from the flash's start, bytes]. */
    this.parts = this.table(28, 42, 44)
      .map((at) => ({
        type: view.getUint32(at, true),
        from: view.getUint32(at + 4, true),
        address: view.getUint32(at + 12, true),
        size: view.getUint32(at + 16, true),
      }))
      .filter(({ type, address, size }) => type === LOAD && size > 0 && address >= FLASH && address < FLASH_END)
      .map(({ from, address, size }) => [address - FLASH, bytes.subarray(from, from + size)]);
  }

  /** The address of the one symbol whose name contains this. */
  address(name) {
    const found = this.symbols().filter((symbol) => symbol.name.includes(name));
    if (found.length !== 1) throw new Error(`${found.length} symbols contain ${name}`);
    return found[0].address;
  }

  symbols() {
    const { view } = this;
    const sections = this.table(32, 46, 48);
    const tables = sections.filter((at) => view.getUint32(at + 4, true) === SYMBOL_TABLE);
    return tables.flatMap((at) => {
      const [from, size] = [view.getUint32(at + 16, true), view.getUint32(at + 20, true)];
      const names = view.getUint32(sections[view.getUint32(at + 24, true)] + 16, true);
      return Array.from({ length: size / 16 }, (_, index) => {
        const entry = from + 16 * index;
        return { name: this.text(names + view.getUint32(entry, true)), address: view.getUint32(entry + 4, true) };
      });
    });
  }

  /** Where the entries of one of the file's two tables lie; the arguments are where the head says so. */
  table(at, size, count) {
    const from = this.view.getUint32(at, true);
    const each = this.view.getUint16(size, true);
    return Array.from({ length: this.view.getUint16(count, true) }, (_, index) => from + each * index);
  }

  text(at) {
    return this.bytes.toString('latin1', at, this.bytes.indexOf(0, at));
  }
}
