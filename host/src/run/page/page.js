// The page's side of the station: shows its picture, sends presses until they are acknowledged, sounds its beeps. What a
// press does is decided by the station alone.

const SILENCE = 6000; // ms without a sign of life after which the station counts as gone
const AGAIN = 400; // ms until a press that was not acknowledged is sent again
const WORD = 5000; // ms that a word to the person stays

const KEYS = {
  ' ': 'done',
  enter: 'done',
  pagedown: 'done',
  backspace: 'take-back',
  s: 'set-aside',
  arrowright: 'look-ahead',
  arrowleft: 'look-back',
  c: 'cut-again',
  b: 'bad-stick',
  n: 'menu',
  escape: 'menu',
  ...Object.fromEntries([...'0123456789'].map((digit) => [digit, digit])),
};

const part = (name) => document.getElementById(name);
const pause = (time) => new Promise((done) => setTimeout(done, time));

// ---- what the station says -------------------------------------------------

let told = null; // the latest state
let seen = null; // the state whose picture is on the page
let heardAt = 0;
let connected = false;

function listen() {
  const events = new EventSource('/events');
  events.addEventListener('state', (event) => {
    alive();
    const state = JSON.parse(event.data);
    if (told !== null && told.session !== state.session) {
      say('The station was started again. It stands where it was: look at the piece before you press.');
    }
    told = state;
    draw(state);
  });
  events.addEventListener('sound', (event) => {
    alive();
    sound(event.data);
  });
  events.addEventListener('alive', alive);
  events.addEventListener('error', () => {
    connect(false);
    if (events.readyState === EventSource.CLOSED) setTimeout(listen, 1000);
  });
}

function alive() {
  heardAt = Date.now();
  connect(told !== null);
}

function connect(is) {
  connected = is;
  document.body.classList.toggle('gone', !is);
  part('pending').textContent = waiting.length > 0 ? 'The last press is not confirmed yet.' : '';
}

async function draw(state) {
  const picture = new Image(state.width, state.height);
  picture.id = 'picture';
  picture.src = `/picture.png?v=${state.session}-${state.version}`;
  picture.alt = state.over ?? (state.number === null ? 'Nothing is left to cut.' : `Piece ${state.number} of ${state.pieces}.`);
  try {
    await picture.decode();
  } catch {
    if (state === told && connected) setTimeout(draw, AGAIN, state);
    return;
  }
  if (state !== told) return;
  // equal ratios of light are equal steps; a picture's values go by about the 2.2th root of the light
  picture.style.filter = `brightness(${(state.light / 1000) ** (1 / 2.2)})`;
  part('picture').replaceWith(picture);
  seen = state;
  fit();
  connect(true);
  document.title = `${state.number ?? 'done'} / ${state.pieces} ${state.level}`;
  part('level').textContent = state.level;
  part('list').textContent = state.digest === '' ? '' : `list ${state.digest}`;
  part('count').textContent = counted(state);
  part('damage').textContent = state.damage === null ? '' : `The record was damaged: ${state.damage}.`;
  part('record').textContent =
    state.not_recorded === null ? '' : `The station keeps every press, but the job record cannot: ${state.not_recorded}`;
  if (state.trouble !== null) say(`This press does not count: ${state.trouble}.`);
}

function counted(state) {
  const more = [
    [state.aside, 'set aside'],
    [state.again, 'to cut again'],
    [state.no_stick, 'without a stick'],
    [state.not_in_list, 'cut, not in this list'],
  ];
  const words = more.filter(([count]) => count > 0).map(([count, what]) => `${count} ${what}`);
  return [`${state.done} of ${state.pieces} done`, ...words].join(', ');
}

// the largest whole number of screen pixels for each of the picture's; smaller than that only where it does not fit once
function fit() {
  const [picture, stage, dense] = [part('picture'), part('stage'), window.devicePixelRatio];
  if (seen === null) return;
  const most = Math.min(stage.clientWidth / seen.width, stage.clientHeight / seen.height) * dense;
  const factor = most >= 1 ? Math.floor(most) : most;
  picture.classList.toggle('whole', most >= 1);
  picture.style.width = `${(seen.width * factor) / dense}px`;
  picture.style.height = `${(seen.height * factor) / dense}px`;
}

// ---- what the person says --------------------------------------------------

const name = Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, '0')).join('');
const waiting = [];
let number = 0;
let sending = false;

function press(key) {
  if (!connected || seen === null) {
    say('Not connected: this press does not count.');
    sound('refused');
    return;
  }
  number += 1;
  waiting.push({ session: seen.session, window: name, number, key, seen: seen.over ?? seen.piece });
  if (!sending) send();
}

async function send() {
  sending = true;
  while (waiting.length > 0) {
    const answer = await sent(waiting[0]);
    if (answer === null) {
      await pause(AGAIN); // the very same press again: the station counts it once
      continue;
    }
    waiting.shift();
    if (answer.press !== 'taken') refused(answer.press);
  }
  sending = false;
}

async function sent(body) {
  try {
    const answer = await fetch('/press', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(SILENCE),
    });
    if (answer.ok || answer.status === 409) return await answer.json();
    return answer.status >= 500 ? null : { press: 'refused' };
  } catch {
    return null;
  }
}

function refused(why) {
  sound('refused');
  say(
    {
      'moved-on': 'This press does not count: something else was on the screen by then. Look again.',
      'other-session': 'The station was started again while you pressed. Look at the piece, then press if it is still to be cut.',
      'too-late': 'This press came too late and does not count.',
    }[why] ?? 'This press was refused and does not count: load the page anew.',
  );
}

document.addEventListener('keydown', (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  const pressed = event.key.toLowerCase();
  if (!(pressed in KEYS) && pressed !== 'm') return;
  event.preventDefault();
  if (event.repeat) return;
  wake();
  if (pressed === 'm') mute(!muted);
  else press(KEYS[pressed]);
});

for (const button of document.querySelectorAll('button')) {
  // a button keeps no focus: else the pedal's space or enter would press it
  button.addEventListener('mousedown', (event) => event.preventDefault());
  button.addEventListener('click', () => {
    wake();
    if (button.id === 'sound') mute(!muted);
    else press(button.dataset.key);
  });
}

let wordEnds;
function say(text) {
  part('word').textContent = text;
  part('word').classList.add('said');
  clearTimeout(wordEnds);
  wordEnds = setTimeout(() => {
    part('word').classList.remove('said');
    fit();
  }, WORD);
  fit();
}

// ---- sound -----------------------------------------------------------------

// hertz and milliseconds, one after another; each kind has its own rhythm
const SOUNDS = {
  accepted: [[880, 90]],
  'taken-back': [[660, 90], [440, 140]],
  question: [[660, 70], [0, 60], [660, 70], [0, 60], [880, 90]],
  refused: [[160, 350]],
};

let audio = null;
let muted = false;

function wake() {
  // browsers let a page sound only after a press
  audio ??= new AudioContext();
  if (audio.state === 'suspended') audio.resume();
}

function sound(kind) {
  if (muted || audio === null || !(kind in SOUNDS)) return;
  let at = audio.currentTime;
  for (const [hertz, time] of SOUNDS[kind]) {
    if (hertz > 0) {
      const [tone, loudness] = [audio.createOscillator(), audio.createGain()];
      tone.type = 'square';
      tone.frequency.value = hertz;
      loudness.gain.setValueAtTime(seen?.loudness === 'soft' ? 0.04 : 0.2, at);
      loudness.gain.setTargetAtTime(0, at + time / 1000 - 0.015, 0.005);
      tone.connect(loudness).connect(audio.destination);
      tone.start(at);
      tone.stop(at + time / 1000);
    }
    at += time / 1000;
  }
}

function mute(is) {
  muted = is;
  part('sound').setAttribute('aria-pressed', String(!is));
  part('sound').querySelector('b').textContent = is ? 'Sound off' : 'Sound on';
}

// ---- the window ------------------------------------------------------------

const front = () => {
  document.body.classList.toggle('behind', !document.hasFocus());
  fit();
};

// the screen at the saw stays lit while the page is in front, where the browser can do that
const lit = () => document.visibilityState === 'visible' && navigator.wakeLock?.request('screen').catch(() => {});

window.addEventListener('focus', front);
window.addEventListener('blur', front);
window.addEventListener('resize', fit);
document.addEventListener('visibilitychange', lit);
setInterval(() => {
  if (connected && Date.now() - heardAt > SILENCE) connect(false);
}, 1000);

front();
lit();
listen();
