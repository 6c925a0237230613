// What the emulator (rp2040js 1.4.1) leaves out or does otherwise than the chip, put right from outside. Each was found by
// a program that stood still on it.

/** SEV is only logged, so that a core which waits for an event never wakes. */
export function wakeOnEvent(chip, warn) {
  chip.logger = {
    debug: () => {},
    info: (_name, message) => {
      if (message === 'SEV') chip.core.eventRegistered = true;
    },
    warn: (name, message) => warn(`${name}: ${message}`),
    error: (name, message) => warn(`${name}: ${message}`),
  };
}

/** The control of the flash's cache is not there; a program waits for its stream to be empty. */
export function cacheControl(chip) {
  const STATUS = 8;
  const IDLE = 3;
  chip.peripherals[0x14000] = {
    readUint32: (offset) => (offset === STATUS ? IDLE : 0),
    writeUint32Atomic: () => {},
  };
}

/**
 * The watchdog's alarm comes again and again at the same moment, and nothing restarts the chip. Here `onRestart` gets the
 * notes and the reason that outlive a restart, which the next chip is given as `notes`.
 */
export function watchdog(chip, notes, onRestart) {
  const dog = chip.peripherals[0x40058];
  if (notes !== null) {
    dog.scratchData.set(notes.scratch);
    dog.reason = notes.reason;
  }
  dog.onWatchdogTrigger = () => {
    dog.alarm.enable = false;
    onRestart({ scratch: dog.scratchData.slice(), reason: dog.reason });
  };
}

/** The bytes of the bus to the panel take no time; here each is on its way for eight clocks. */
export function busTime(chip, spi, onByte) {
  let sent = 0;
  const alarm = chip.clock.createAlarm(() => {
    onByte(sent);
    spi.completeTransmit(0);
  });
  spi.onTransmit = (byte) => {
    sent = byte;
    alarm.schedule(8e9 / spi.clockFrequency);
  };
}

/**
 * The serial port's transmit interrupt is always pending, its queue has no depth, and two of its registers read as all
 * ones. Here bytes leave one by one, and the interrupt comes when the queue is half empty; so do they come, by the
 * function that is given back.
 */
export function serialQueue(chip, uart, onByte) {
  const [LEVELS, DMA] = [0x34, 0x48];
  const [RECEIVE_FULL, RECEIVE_EMPTY, SEND_FULL, SEND_EMPTY, BUSY] = [0x40, 0x10, 0x20, 0x80, 0x08];
  const SEND_READY = 0x20;
  const DEPTH = 32;
  const byteTakes = () => 10e9 / uart.baudRate;
  const held = { [LEVELS]: 0x12, [DMA]: 0 };
  const [read, write] = [uart.readUint32.bind(uart), uart.writeUint32.bind(uart)];
  uart.readUint32 = (offset) => held[offset] ?? read(offset);
  uart.writeUint32 = (offset, value) => {
    if (offset in held) held[offset] = value;
    else write(offset, value);
  };
  uart.checkInterrupts = () => chip.setInterrupt(uart.irq, !!(uart.interruptStatus & uart.interruptMask));
  const queue = [];
  const next = () => alarm.schedule(byteTakes());
  const alarm = chip.clock.createAlarm(() => {
    onByte(queue.shift());
    if (queue.length > 0) next();
    if (queue.length <= DEPTH / 2) {
      uart.interruptStatus |= SEND_READY;
      uart.checkInterrupts();
    }
  });
  uart.onByte = (byte) => {
    queue.push(byte);
    if (queue.length === 1) next();
  };
  Object.defineProperty(uart, 'flags', {
    get: () =>
      (uart.rxFIFO.full ? RECEIVE_FULL : 0) |
      (uart.rxFIFO.empty ? RECEIVE_EMPTY : 0) |
      (queue.length >= DEPTH ? SEND_FULL : 0) |
      (queue.length > 0 ? BUSY : SEND_EMPTY),
  });
  const coming = [];
  const arrival = chip.clock.createAlarm(() => {
    uart.feedByte(coming.shift());
    if (coming.length > 0) arrival.schedule(byteTakes());
  });
  return (bytes) => {
    const isIdle = coming.length === 0;
    coming.push(...bytes);
    if (isIdle && coming.length > 0) arrival.schedule(byteTakes());
  };
}

/** The flash chip's own number, which a program asks for over the chip's bus: 4b, four idle bytes, eight of number. */
export function flashNumber(chip, number) {
  const DATA = 0x60;
  const ssi = chip.peripherals[0x18000];
  const [read, write] = [ssi.readUint32.bind(ssi), ssi.writeUint32.bind(ssi)];
  let queue = [];
  ssi.writeUint32 = (offset, value) => {
    if (offset === DATA && (value & 0xff) === 0x4b) queue = [0, 0, 0, 0, ...number];
    write(offset, value);
  };
  ssi.readUint32 = (offset) => (offset === DATA && queue.length > 0 ? queue.shift() : read(offset));
}

/** The ring oscillator gives no chance bits; here they come from the board's own. */
export function chanceBits(chip, bit) {
  const CHANCE = 0x1c;
  const oscillator = chip.peripherals[0x40060];
  const read = oscillator.readUint32.bind(oscillator);
  oscillator.readUint32 = (offset) => (offset === CHANCE ? bit() : read(offset));
}
