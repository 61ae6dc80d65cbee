// Plays the sound and the vibration of a verdict. It never fails and nothing waits for it: the word and the shape on
// the screen are the answer.
import { type Note, VERDICT_FEELS, type VerdictKind } from './verdict-sounds.ts';

const SILENT = 'tailcount-silent';
const LOUDNESS = 0.25;
// A short slope at both ends, or the speaker clicks.
const SLOPE_S = 0.008;

// A page has few audio contexts to give and a phone unlocks each by a touch, so there is one.
let shared: AudioContext | null = null;

function openAudio(): AudioContext | null {
  if (typeof AudioContext === 'undefined') return null;
  shared ??= new AudioContext();
  // It sleeps until the first touch of the page, and again after a call.
  if (shared.state !== 'running') shared.resume().catch(() => {});
  return shared;
}

function playNote(audio: AudioContext, { hz, atMs, ms, wave }: Note): void {
  const begins = audio.currentTime + atMs / 1_000;
  const ends = begins + ms / 1_000;
  const tone = new OscillatorNode(audio, { frequency: hz, type: wave });
  const volume = new GainNode(audio, { gain: 0 });
  volume.gain.setValueAtTime(0, begins);
  volume.gain.linearRampToValueAtTime(LOUDNESS, begins + SLOPE_S);
  volume.gain.setValueAtTime(LOUDNESS, ends - SLOPE_S);
  volume.gain.linearRampToValueAtTime(0, ends);
  tone.connect(volume).connect(audio.destination);
  tone.start(begins);
  tone.stop(ends);
}

/** Whether sounds are switched off on this device. Vibration stays: it disturbs nobody. */
export function isSilent(): boolean {
  try {
    return localStorage.getItem(SILENT) === 'yes';
  } catch {
    return false;
  }
}

/** Switches sounds off or on, and keeps that on this device. */
export function setSilent(silent: boolean): void {
  try {
    localStorage.setItem(SILENT, silent ? 'yes' : 'no');
  } catch {
    // A private window without storage: the phone's own switch is left.
  }
}

/** Before the first touch a browser blocks sound and vibration, and complains. Older ones do not say. */
function isTouched(): boolean {
  const activation: UserActivation | undefined = navigator.userActivation;
  return activation?.hasBeenActive ?? true;
}

/** Call it in the first touch of the page: phones play nothing before one. */
export function unlockSound(): void {
  openAudio();
}

/** Call it after the verdict is written and shown. */
export function playVerdict(kind: VerdictKind): void {
  if (!isTouched()) return;
  const { notes, buzzMs } = VERDICT_FEELS[kind];
  if ('vibrate' in navigator) navigator.vibrate([...buzzMs]);
  const audio = isSilent() ? null : openAudio();
  if (!audio) return;
  for (const each of notes) playNote(audio, each);
}
