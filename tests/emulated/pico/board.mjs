// A Raspberry Pi Pico with its panel, pedal, keys, beeper, flash and host, run instruction by instruction. What happens
// when is left to the script.

import { RP2040 } from 'rp2040js';

import * as bootRom from './boot_rom.mjs';
import { PowerCut } from './flash.mjs';
import { Panel } from './panel.mjs';
import * as remedies from './remedies.mjs';
import { plugIn } from './usb.mjs';

/** Where what is wired, as in the station's own table of pins. */
const PINS = { select: 17, isData: 20, reset: 21, light: 22, beeper: 14, lamp: 25 };
const CONTACTS = { pedal: 15, done: 2, takeBack: 3, setAside: 4, ahead: 5, back: 6, cutAgain: 7, badStick: 8, menu: 9 };
const [LIGHT_PULSE, BEEPER_PULSE] = [3, 7];

/** The flash chip's own number. */
const NUMBER = [0xe6, 0x60, 0x58, 0x38, 0x83, 0x6f, 0x2a, 0x21];

const HARD_FAULT = 3;
const [RAM, RAM_END] = [0x20000000, 0x20042000];

export class Board {
  constructor(image, flash, glass) {
    this.image = image;
    this.flash = flash;
    this.panel = new Panel(glass);
    this.closed = new Set();
    this.received = [];
    this.onHostBytes = (bytes) => this.received.push(...bytes);
    /** The power went: nobody is at the line any more. */
    this.onPowerOff = () => {};
    this.lowestStack = RAM_END;
    this.restarts = 0;
    /** When the flash was last programmed, in milliseconds. */
    this.lastProgram = null;
    /** What the beeper sounded: [milliseconds, hertz] at each change. */
    this.tones = [];
    /** What the emulator says of the program, each once. */
    this.warnings = new Set();
    this.cut = null;
    /** Edges to come: [nanoseconds on the board's clock, contact, closed], in the order of their times. */
    this.edges = [];
    this.chip = null;
    this.cycles = 0;
    this.instructions = 0;
  }

  /** The power comes: a new chip, the same flash. */
  powerOn() {
    this.cut = null;
    this.start();
  }

  /** The power goes, now. */
  powerOff() {
    this.flash.cut = null;
    this.chip = null;
    this.edges = [];
    this.panel.powerOff();
    this.onPowerOff();
  }

  get isOn() {
    return this.chip !== null;
  }

  /** Milliseconds since the chip started. */
  get now() {
    return this.chip.clock.nanos / 1e6;
  }

  /** A chip that starts; after a restart by itself, with what its notes held. */
  start(notes = null) {
    const chip = new RP2040();
    this.chip = chip;
    remedies.wakeOnEvent(chip, (text) => this.warn(text));
    remedies.cacheControl(chip);
    remedies.flashNumber(chip, NUMBER);
    remedies.chanceBits(chip, () => this.flash.random() & 1);
    chip.loadBootrom(bootRom.words());
    for (const [offset, bytes] of this.image.parts) this.flash.bytes.set(bytes, offset);
    // the chip's flash is 16 MiB; only what is on the board's is ever written
    chip.flash.set(this.flash.bytes);
    const shown = chip.flash.subarray(0, this.flash.bytes.length);
    this.flash.bytes = shown;
    chip.onBreak = (number) => {
      // without a debugger a trap is a fault
      if (!bootRom.trapped(this, number)) this.fault();
    };
    this.restart = null;
    remedies.watchdog(chip, notes, (left) => (this.restart = left));
    this.wire(chip);
    this.host = plugIn(chip, (bytes) => this.onHostBytes(bytes));
    this.sendSerial = remedies.serialQueue(chip, chip.uart[0], (byte) => this.onHostBytes([byte]));
    // past the second-stage loader: the emulated flash is mapped from the start
    chip.core.VTOR = 0x10000100;
    chip.core.reset();
  }

  wire(chip) {
    const { panel } = this;
    const high = (pin) => chip.gpio[pin].outputValue;
    remedies.busTime(chip, chip.spi[0], (byte) => {
      if (!high(PINS.select)) panel.byte(byte, high(PINS.isData), this.now);
    });
    chip.gpio[PINS.reset].addListener(() => {
      if (!high(PINS.reset)) panel.reset(this.now);
    });
    // the emulator does not apply pull-ups: an open contact reads high
    for (const [name, pin] of Object.entries(CONTACTS)) chip.gpio[pin].setInputValue(!this.closed.has(name));
    this.edgeAlarm = chip.clock.createAlarm(() => this.turnEdges());
    this.listenToBeeper(chip.pwm);
  }

  listenToBeeper(pulses) {
    const write = pulses.writeUint32.bind(pulses);
    let tone = 0;
    pulses.writeUint32 = (offset, value) => {
      write(offset, value);
      if (this.tone === tone) return;
      tone = this.tone;
      // registers are written one after another: a tone of less than 10 us is none
      if (this.tones.length > 0 && this.now - this.tones.at(-1)[0] < 0.01) this.tones.pop();
      this.tones.push([this.now, tone]);
    };
  }

  /** Lets a contact close and open: [milliseconds from now, closed] in order; while the power is off, all of them at once. */
  script(contact, edges) {
    if (!(contact in CONTACTS)) throw new Error(`no contact is called ${contact}`);
    if (!this.isOn) {
      for (const [, closed] of edges) this.turn(contact, closed);
      return;
    }
    const now = this.chip.clock.nanos;
    for (const [after, closed] of edges) this.edges.push([now + after * 1e6, contact, closed]);
    this.edges.sort((a, b) => a[0] - b[0]);
    this.nextEdge();
  }

  nextEdge() {
    if (this.edges.length > 0) this.edgeAlarm.schedule(Math.max(0, this.edges[0][0] - this.chip.clock.nanos));
  }

  turnEdges() {
    while (this.edges.length > 0 && this.edges[0][0] <= this.chip.clock.nanos) {
      const [, contact, closed] = this.edges.shift();
      this.turn(contact, closed);
      this.chip.gpio[CONTACTS[contact]].setInputValue(!closed);
    }
    this.nextEdge();
  }

  turn(contact, closed) {
    if (closed) this.closed.add(contact);
    else this.closed.delete(contact);
  }

  /** The deepest that the stack has been, in bytes. */
  get stackUsed() {
    return RAM_END - this.lowestStack;
  }

  /** Time passes in which the processor stands still. */
  wait(nanos) {
    this.chip.clock.tick(nanos);
  }

  /** How bright the panel is lit, in percent. */
  get light() {
    const { cc, top, csr } = this.chip.pwm.channels[LIGHT_PULSE];
    return csr & 1 ? Math.round((100 * (cc & 0xffff)) / (top + 1)) : 0;
  }

  /** Whether the lamp on the board is lit. */
  get lamp() {
    return this.chip.gpio[PINS.lamp].outputValue;
  }

  /** What the beeper sounds, in hertz; 0 for silence. */
  get tone() {
    const { cc, top, div, csr } = this.chip.pwm.channels[BEEPER_PULSE];
    return csr & 1 && cc & 0xffff ? Math.round(this.chip.clkSys / ((div / 16) * (top + 1))) : 0;
  }

  /** Sends bytes to the station, over USB or the serial pins. */
  send(bytes, line) {
    if (line === 'serial') this.sendSerial(bytes);
    else this.host.send(bytes);
  }

  /** The program goes astray where it is: it panics, faults, or stands still with nothing to wake it. */
  astray(how) {
    const { core } = this.chip;
    // the panic that the log's own asserts end in: it needs nothing from the one who calls it
    const address = how === 'panic' ? this.image.address('__defmt_default_panic') : bootRom.ASTRAY_AT[how];
    if (address === undefined) throw new Error(`no way astray is called ${how}`);
    core.PC = address & ~1;
    core.waiting = false;
    if (how === 'stuck') core.enabledInterrupts = 0;
  }

  fault() {
    const { core } = this.chip;
    core.exceptionEntry(HARD_FAULT);
    core.breakRewind = 0;
  }

  /** Runs for so many milliseconds, or until `done`; whether `done` came about. Stops where the power is cut. */
  run(milliseconds, done = null) {
    let left = milliseconds * 1e6;
    // times are fractions of nanoseconds: less than one is rounding
    while (left >= 1 && this.isOn) {
      const before = this.chip.clock.nanos;
      const came = this.runChip(before + left, done);
      if (came) return true;
      if (!this.isOn) break;
      left -= this.chip.clock.nanos - before;
      if (this.restart) this.again();
    }
    return done !== null && this.isOn && done(this);
  }

  again() {
    this.restarts++;
    this.edges = [];
    this.panel.shownSince = null;
    this.start(this.restart);
  }

  runChip(end, done) {
    const { chip } = this;
    const { core, clock } = chip;
    const { registers } = core;
    const nanos = 1e9 / chip.clkSys;
    let lowest = this.lowestStack;
    try {
      while (clock.nanos < end && !this.restart) {
        if (core.waiting) {
          const next = clock.nanosToNextAlarm;
          clock.tick(Math.min(next > 0 ? next : 1000, end - clock.nanos + 1));
        } else {
          const cycles = core.executeInstruction();
          this.cycles += cycles;
          this.instructions++;
          clock.tick(cycles * nanos);
          if (registers[13] < lowest && registers[13] >= RAM) lowest = registers[13];
        }
        if (done !== null && done(this)) return true;
      }
    } catch (error) {
      if (!(error instanceof PowerCut)) throw error;
      this.cut = error.message;
      this.powerOff();
    } finally {
      this.lowestStack = lowest;
    }
    return false;
  }

  warn(text) {
    if (this.warnings.size < 100) this.warnings.add(text);
  }
}
