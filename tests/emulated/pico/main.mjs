// The emulated Pico as a process: one request a line on its input, one answer a line on its output, both JSON. What a
// request does on the board is left to the board.
//
//   {"do": "build", "image": FILE, "flash": FILE, "erase": MS, "program": MS, "seed": N, "glass": GLASS}   a board, off
//   {"do": "power", "on": true}             on or off; the flash file is written when it goes off
//   {"do": "run", "ms": MS, "until": WHAT}  shown, quiet (no pixel for 60 ms), restarted,
//                                           plugged (the host knows the station), heard; or nothing
//   {"do": "contact", "name": NAME, "edges": [[MS, CLOSED], ...]}   from now, at once while off; "in": "erase": from the next erase's beginning
//   {"do": "cut", "in": "erase" or "program", "after": N, "part": 0..1}   plans a power cut
//   {"do": "astray", "how": HOW}            the program panics, faults or is stuck, where it is
//   {"do": "send", "line": LINE, "bytes": HEX}   to the station, over usb or serial
//   {"do": "listen", "line": "usb" or "serial"}   a TCP port for a host; the board runs by itself from then on, no faster
//                                           than the clock on the wall
//   {"do": "plugAgain"}                     the USB cable is pulled and plugged in again
//   {"do": "report"}, {"do": "picture"}     what can be seen from outside

import fs from 'node:fs';
import net from 'node:net';
import readline from 'node:readline';

import { Board } from './board.mjs';
import { Flash } from './flash.mjs';
import { Image } from './image.mjs';
import { GLASS } from './panel.mjs';

/** The board runs for this long at a time, in milliseconds of its own; between, sockets are served. */
const SLICE = 5;
const QUIET = 60;

const UNTIL = {
  shown: (board) => board.panel.shownSince !== null,
  quiet: (board) => board.now - board.panel.lastPixel >= QUIET,
  restarted: (board) => board.restarts > 0,
  plugged: (board) => board.host.isUp(),
  heard: (board) => board.received.length > 0,
};

let board = null;
let flashFile = null;
let byItself = null;

const actions = {
  build({ image, flash, erase, program, seed, glass }) {
    const chip = new Flash({ erase, program, seed });
    if (flash && fs.existsSync(flash)) chip.bytes.set(fs.readFileSync(flash));
    flashFile = flash;
    board = new Board(new Image(image), chip, GLASS[glass]);
  },
  power({ on }) {
    if (on) board.powerOn();
    else {
      board.powerOff();
      keepFlash();
    }
  },
  async run({ ms, until }) {
    const done = until ? UNTIL[until] : null;
    if (done === undefined) throw new Error(`nothing is called ${until}`);
    let came = false;
    for (let left = ms; left > 0 && !came && board.isOn; left -= SLICE) {
      came = board.run(Math.min(SLICE, left), done);
      await breath();
    }
    if (!board.isOn) keepFlash();
    return { came };
  },
  contact({ name, edges, in: work }) {
    if (work === 'erase') board.flash.atErase = () => board.script(name, edges);
    else board.script(name, edges);
  },
  cut({ in: kind, after, part }) {
    board.flash.plan(kind, after, part);
  },
  astray({ how }) {
    board.astray(how);
  },
  send({ bytes, line }) {
    board.send(Buffer.from(bytes, 'hex'), line);
  },
  listen({ line }) {
    return listen(line);
  },
  plugAgain() {
    board.host.plugAgain();
  },
  report,
  picture() {
    return { pixels: board.panel.picture().toString('hex'), light: board.light };
  },
};

function report() {
  const { panel, flash } = board;
  const received = Buffer.from(board.received.splice(0)).toString('hex');
  return {
    on: board.isOn,
    cut: board.cut,
    now: board.isOn ? board.now : 0,
    cycles: board.cycles,
    instructions: board.instructions,
    stack: board.stackUsed,
    restarts: board.restarts,
    lamp: board.isOn && board.lamp,
    hostIsUp: board.isOn && board.host.isUp(),
    received,
    panel: {
      bytes: panel.bytes,
      pixels: panel.pixels,
      lastPixel: panel.lastPixel,
      shownSince: panel.shownSince,
      complaints: panel.complaints,
    },
    tones: board.tones.splice(0),
    flash: { ...flash.counts, lastProgram: board.lastProgram },
    warnings: [...board.warnings],
  };
}

function keepFlash() {
  if (flashFile) fs.writeFileSync(flashFile, board.flash.bytes);
}

/** Serves a host over TCP; the answer is the port. */
function listen(line) {
  const server = net.createServer((socket) => {
    socket.setNoDelay(true);
    board.onHostBytes = (bytes) => socket.write(Uint8Array.from(bytes));
    board.onPowerOff = () => socket.destroy();
    socket.on('data', (bytes) => board.isOn && board.send(bytes, line));
    socket.on('error', () => socket.destroy());
  });
  byItself ??= runByItself();
  return new Promise((resolve) => {
    server.listen(0, '127.0.0.1', () => resolve({ port: server.address().port }));
  });
}

async function runByItself() {
  for (;;) {
    const from = performance.now();
    if (board.isOn) {
      board.run(SLICE);
      if (!board.isOn) keepFlash();
    }
    const ahead = SLICE - (performance.now() - from);
    await (ahead > 0 ? new Promise((resolve) => setTimeout(resolve, ahead)) : breath());
  }
}

/** Lets sockets be served. */
function breath() {
  return new Promise((resolve) => setImmediate(resolve));
}

for await (const request of readline.createInterface({ input: process.stdin })) {
  let answer;
  try {
    const { do: action, ...rest } = JSON.parse(request);
    if (!Object.hasOwn(actions, action)) throw new Error(`nothing is called ${action}`);
    answer = { ...(await actions[action](rest)) };
  } catch (error) {
    answer = { error: error.stack };
  }
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}
process.exit();
