// The reader without the rest of the phone page: built by the tests only, and open at /scan/reader/reader-page.html
// while developing.
import '../../web/look/look.css';
import './reader-page.css';
import { assert } from '#domain/invariant.ts';
import { playVerdict, setSilent, unlockSound } from '../feedback/play-verdict.ts';
import { keepOffline } from '../offline/keep-offline.ts';
import { listenToKeyboardReader } from './keyboard-reader.ts';
import { createReader } from './reader.ts';

function part<T extends Element>(id: string, kind: new () => T): T {
  const found = document.getElementById(id);
  assert(found instanceof kind, `the page has a part ${id}`);
  return found;
}

const say = (id: string, text: string): void => {
  part(id, HTMLOutputElement).textContent = text;
};

const add = (id: string, text: string): void => {
  const line = document.createElement('li');
  line.textContent = text;
  part(id, HTMLOListElement).append(line);
};

const rest = new URLSearchParams(location.search).get('rest');
const reader = createReader({
  video: part('video', HTMLVideoElement),
  onText: (text, format) => add('scans', `${format} ${text}`),
  onState: (state) => {
    say('state', state.kind);
    say('sentence', 'sentence' in state ? state.sentence : '');
    say('way', 'way' in state ? state.way : '');
  },
  ...(rest === null ? {} : { restAfterMs: Number(rest) }),
});

part('start', HTMLButtonElement).addEventListener('click', () => void reader.start());
part('stop', HTMLButtonElement).addEventListener('click', () => void reader.stop());
part('verdict', HTMLButtonElement).addEventListener('click', () => {
  unlockSound();
  playVerdict('bad-code');
});
part('picture', HTMLInputElement).addEventListener('change', async ({ target }) => {
  const file = target instanceof HTMLInputElement ? target.files?.[0] : undefined;
  if (!file) return;
  const read = await reader.scanPicture(file);
  say('picture-read', read.kind === 'read' ? 'read' : `${read.kind}: ${read.sentence}`);
});
listenToKeyboardReader((text) => add('bursts', text));
part('silent', HTMLButtonElement).addEventListener('click', () => setSilent(true));
void keepOffline((state) => {
  say('kept', state.kind);
  if (state.kind === 'update-waiting') part('take-over', HTMLButtonElement).onclick = () => state.takeOver();
});
