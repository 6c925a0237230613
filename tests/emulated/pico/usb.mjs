// The host's end of the USB cable: it makes the station known as a serial port and carries bytes. Their meaning is left to
// whoever is behind it.

import { USBCDC } from 'rp2040js';

const AVAILABLE = 1 << 10;
const [FIRST_OUT, LAST_OUT] = [0x8c, 0xfc];

/**
 * Plugs a host in. The emulator takes back a buffer's "available" the moment it is given, which programs read as "a
 * packet has come", and answers with empty packets; here a buffer stays available until the host has something for it.
 */
export function plugIn(chip, onBytes) {
  const { usbCtrl: port, usbDPRAMView: memory } = chip;
  const line = new USBCDC(port);
  const [updated, finish] = [port.DPRAMUpdated.bind(port), port.finishRead.bind(port)];
  const change = (offset, set) => {
    const value = memory.getUint32(offset, true);
    memory.setUint32(offset, set ? value | AVAILABLE : value & ~AVAILABLE, true);
  };
  port.DPRAMUpdated = (offset, value) => {
    updated(offset, value);
    const isOut = offset >= FIRST_OUT && offset <= LAST_OUT && (offset & 4) !== 0;
    if (isOut && value & AVAILABLE) change(offset, true);
  };
  port.finishRead = (endpoint, bytes) => {
    change(0x84 + 8 * endpoint, false);
    finish(endpoint, bytes);
  };
  const queue = [];
  let asked = null;
  const feed = () => {
    if (asked === null || queue.length === 0) return;
    const { endpoint, size } = asked;
    asked = null;
    port.endpointReadDone(endpoint, Uint8Array.from(queue.splice(0, size)));
  };
  port.onEndpointRead = (endpoint, size) => {
    if (endpoint === 0) return;
    asked = { endpoint, size };
    feed();
  };
  line.onSerialData = onBytes;
  return {
    isUp: () => line.initialized,
    /** The cable is pulled and plugged in again: what was on its way is gone, and the port is made known anew. */
    plugAgain: () => {
      queue.length = 0;
      asked = null;
      Object.assign(line, { initialized: false, descriptorsSize: null, descriptors: [] });
      port.resetDevice();
    },
    send: (bytes) => {
      for (const byte of bytes) queue.push(byte);
      feed();
    },
  };
}
