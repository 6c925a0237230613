// The panel: an ILI9341 by its datasheet (the commands of section 8.2; an ST7789 has the same) behind the glass of the common
// modules. It complains where it is hurried. Pixels' way to it is left to the board.

const COLUMNS = 240;
const ROWS = 320;

const COMMANDS = {
  SOFTWARE_RESET: 0x01,
  SLEEP: 0x10,
  WAKE_UP: 0x11,
  NORMAL: 0x13,
  NOT_REVERSED: 0x20,
  REVERSED: 0x21,
  OFF: 0x28,
  ON: 0x29,
  COLUMN_WINDOW: 0x2a,
  ROW_WINDOW: 0x2b,
  PIXELS: 0x2c,
  MEMORY_ORDER: 0x36,
  PIXEL_FORMAT: 0x3a,
};

const [SWAP, MIRROR_COLUMNS, MIRROR_ROWS, BLUE_FIRST] = [0x20, 0x40, 0x80, 0x08];
const SIXTEEN_BITS = 0x55;

/** What the common modules of each controller are glued to (common practice, no source). */
export const GLASS = {
  ili9341: { mirrored: true, redFirst: false, reversed: false },
  st7789: { mirrored: false, redFirst: true, reversed: true },
};

export class Panel {
  constructor(glass) {
    this.glass = glass;
    this.memory = new Uint16Array(COLUMNS * ROWS);
    this.complaints = [];
    this.bytes = 0;
    this.pixels = 0;
    this.lastPixel = 0;
    this.shownSince = null;
    this.reset(-Infinity);
  }

  /** The reset line goes low: registers fall back, the memory keeps what it has. `now` in milliseconds. */
  reset(now) {
    Object.assign(this, { order: 0, format: 0x66, reversed: false, on: false, asleep: true });
    Object.assign(this, { command: 0, rest: [], columns: [0, COLUMNS - 1], rows: [0, ROWS - 1] });
    Object.assign(this, { resetAt: now, wokenAt: -Infinity, high: null, shownSince: null });
  }

  /** The power goes: what was in the memory is gone too. */
  powerOff() {
    this.reset(-Infinity);
    this.memory.fill(0x5a5a);
  }

  /** A byte on the bus, at `now` in milliseconds. */
  byte(value, isData, now) {
    this.bytes++;
    if (!isData) this.begin(value, now);
    else if (this.command === COMMANDS.PIXELS) this.half(value, now);
    else this.argument(value);
  }

  begin(command, now) {
    const { SOFTWARE_RESET, SLEEP, WAKE_UP, NORMAL, NOT_REVERSED, REVERSED, OFF, ON, PIXELS } = COMMANDS;
    if (now - this.resetAt < 5) this.complain(command, 'less than 5 ms after a reset');
    if (now - this.wokenAt < 5) this.complain(command, 'less than 5 ms after waking');
    if (this.high !== null) this.complain(command, 'in the midst of a pixel');
    Object.assign(this, { command, rest: [], high: null });
    if (command === SOFTWARE_RESET) this.reset(now);
    else if (command === WAKE_UP) {
      if (now - this.resetAt < 120) this.complain(command, 'less than 120 ms after a reset');
      Object.assign(this, { asleep: false, wokenAt: now });
    } else if (command === SLEEP) this.asleep = true;
    else if (command === REVERSED || command === NOT_REVERSED) this.reversed = command === REVERSED;
    else if (command === ON) Object.assign(this, { on: true, shownSince: now });
    else if (command === OFF) this.on = false;
    else if (command === PIXELS) {
      if (this.format !== SIXTEEN_BITS) this.complain(command, 'not set to sixteen bits');
      [this.x, this.y] = [this.columns[0], this.rows[0]];
    } else if (command !== NORMAL && !Object.values(COMMANDS).includes(command)) this.complain(command, 'unknown');
  }

  argument(value) {
    const { COLUMN_WINDOW, ROW_WINDOW, MEMORY_ORDER, PIXEL_FORMAT } = COMMANDS;
    const rest = this.rest;
    rest.push(value);
    const window = () => [(rest[0] << 8) | rest[1], (rest[2] << 8) | rest[3]];
    if (this.command === COLUMN_WINDOW && rest.length === 4) this.columns = window();
    if (this.command === ROW_WINDOW && rest.length === 4) this.rows = window();
    if (this.command === MEMORY_ORDER) this.order = value;
    if (this.command === PIXEL_FORMAT) this.format = value;
  }

  half(value, now) {
    if (this.high === null) {
      this.high = value;
      return;
    }
    const pixel = (this.high << 8) | value;
    this.high = null;
    this.pixels++;
    this.lastPixel = now;
    let [column, row] = this.order & SWAP ? [this.y, this.x] : [this.x, this.y];
    if (this.order & MIRROR_COLUMNS) column = COLUMNS - 1 - column;
    if (this.order & MIRROR_ROWS) row = ROWS - 1 - row;
    if (column < COLUMNS && row < ROWS && column >= 0 && row >= 0) this.memory[row * COLUMNS + column] = pixel;
    else this.complain(COMMANDS.PIXELS, `column ${column}, row ${row}`);
    if (++this.x > this.columns[1]) {
      this.x = this.columns[0];
      if (++this.y > this.rows[1]) this.y = this.rows[0];
    }
  }

  complain(command, why) {
    if (this.complaints.length < 20) this.complaints.push(`command ${command.toString(16)}: ${why}`);
  }

  /**
   * What a person sees with the panel across and its connector at the left: 320x240 pixels of 5, 6 and 5 bits, low byte
   * first.
   */
  picture() {
    const seen = Buffer.alloc(2 * COLUMNS * ROWS);
    const lit = this.on && !this.asleep;
    const { mirrored, redFirst, reversed } = this.glass;
    const isSwapped = !(this.order & BLUE_FIRST) !== redFirst;
    for (let y = 0; y < COLUMNS; y++) {
      for (let x = 0; x < ROWS; x++) {
        let pixel = lit ? this.memory[x * COLUMNS + (mirrored ? y : COLUMNS - 1 - y)] : 0;
        if (lit && this.reversed !== reversed) pixel ^= 0xffff;
        if (isSwapped) pixel = (pixel >> 11) | (pixel & 0x07e0) | ((pixel & 0x1f) << 11);
        seen.writeUInt16LE(pixel, 2 * (y * ROWS + x));
      }
    }
    return seen;
  }
}
