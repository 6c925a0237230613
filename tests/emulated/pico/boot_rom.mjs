// A boot ROM of our own: a table look-up and the flash routines, each a trap that is carried out here. The RP2040's real
// one is not needed: the look-up's two-letter codes and arguments are those of the chip's datasheet (2.8.3).

const LOOK_UP = 0xf0;
const FIRST = 0x80;
const CODE_AT = 0x200;
const ROUTINES_AT = 0x300;
const ASTRAY_AT = { fault: 0x240, stuck: 0x250 };
const RETURN = 0x4770;

/** Does nothing here: the emulated flash is always both connected and mapped. */
const nothing = () => {};

const ROUTINES = {
  IF: nothing, // connect the flash
  EX: nothing, // leave the mapped mode
  FC: nothing, // flush the cache
  CX: nothing, // enter the mapped mode
  RE: (board, [from, count]) => board.flash.erase(from, count, (nanos) => board.wait(nanos)),
  RP: (board, [to, from, count]) => {
    const { chip, flash } = board;
    const bytes = Uint8Array.from({ length: count }, (_, index) => chip.readUint8(from + index));
    flash.program(to, bytes, (nanos) => board.wait(nanos));
    board.lastProgram = board.now;
  },
  C4: copy,
  MC: copy,
  S4: fill,
  MS: fill,
};

function copy({ chip }, [to, from, count]) {
  for (let index = 0; index < count; index++) chip.writeUint8(to + index, chip.readUint8(from + index));
}

function fill({ chip }, [to, value, count]) {
  for (let index = 0; index < count; index++) chip.writeUint8(to + index, value);
}

const NAMES = Object.keys(ROUTINES);

/** The ROM's words. */
export function words() {
  const rom = new DataView(new ArrayBuffer(16 * 1024));
  const trap = (at, number) => {
    rom.setUint16(at, 0xbe00 | number, true);
    rom.setUint16(at + 2, RETURN, true);
  };
  // the mark and version that the chip's own ROM has, then where function table, data table and look-up are
  [0x4d, 0x75, 0x01, 0x02].forEach((byte, index) => rom.setUint8(0x10 + index, byte));
  rom.setUint16(0x14, 0x100, true);
  rom.setUint16(0x16, 0x100, true);
  rom.setUint16(0x18, CODE_AT | 1, true);
  trap(CODE_AT, LOOK_UP);
  // a trap that is nobody's; and a WFI with a branch back to it
  trap(ASTRAY_AT.fault, 0);
  [0xbf30, 0xe7fd].forEach((code, index) => rom.setUint16(ASTRAY_AT.stuck + 2 * index, code, true));
  NAMES.forEach((_, index) => trap(ROUTINES_AT + 4 * index, FIRST + index));
  return new Uint32Array(rom.buffer);
}

/** Where a processor that was led astray finds itself, by what then becomes of it. */
export { ASTRAY_AT };

/** Carries out a trap; whether it was one of the ROM's. `board` has chip, flash and `wait`, in nanoseconds. */
export function trapped(board, number) {
  const { registers } = board.chip.core;
  if (number === LOOK_UP) {
    const code = String.fromCharCode(registers[1] & 0xff, (registers[1] >> 8) & 0xff);
    const index = NAMES.indexOf(code);
    if (index < 0) throw new Error(`the program asks the boot ROM for ${code}`);
    registers[0] = (ROUTINES_AT + 4 * index) | 1;
    return true;
  }
  const routine = ROUTINES[NAMES[number - FIRST]];
  routine?.(board, registers);
  return routine !== undefined;
}
