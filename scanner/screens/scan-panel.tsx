// Every way to say which thing: the camera, a reader that types, the keyboard. Tapping a line is beside it.
import { type FormEvent, lazy, Suspense, useEffect, useRef, useState } from 'react';
import { Button } from '../../web/look/button.tsx';
import { unlockSound } from '../feedback/play-verdict.ts';
import { listenToKeyboardReader } from '../reader/keyboard-reader.ts';
import type { Scanning } from './use-scanning.ts';
import { VerdictView } from './verdict-view.tsx';

const CameraView = lazy(() => import('./camera-view.tsx').then((made) => ({ default: made.CameraView })));

export function ScanPanel({ scanning }: { readonly scanning: Scanning }) {
  const [looking, setLooking] = useState(false);
  const [text, setText] = useState('');
  const latest = useRef(scanning.scan);
  latest.current = scanning.scan;
  useEffect(() => listenToKeyboardReader((read) => latest.current(read, false)), []);
  const sendTyped = (event: FormEvent) => {
    event.preventDefault();
    unlockSound();
    if (text.trim() === '') return;
    scanning.scan(text, true);
    setText('');
  };
  // Below what it answers: the camera, or else the row of buttons, which so stays under the thumb.
  const verdict = <VerdictView scanning={scanning} />;
  return (
    <section className="scan" aria-label="Scan">
      {looking ? (
        <Suspense fallback={<p className="waiting">The camera starts.</p>}>
          <CameraView onText={(read) => scanning.scan(read, false)} onClose={() => setLooking(false)} />
        </Suspense>
      ) : null}
      {looking ? verdict : null}
      <form className="scan-ways" onSubmit={sendTyped}>
        {looking ? null : (
          <Button
            kind="main"
            icon="scan"
            onClick={() => {
              unlockSound();
              setLooking(true);
            }}
          >
            Scan
          </Button>
        )}
        <input
          aria-label="Type a code"
          placeholder="or a code"
          value={text}
          onChange={(event) => setText(event.target.value)}
          autoCapitalize="characters"
          autoComplete="off"
          autoCorrect="off"
          spellCheck={false}
          enterKeyHint="go"
          maxLength={200}
        />
        <Button type="submit" icon="type">
          Enter
        </Button>
      </form>
      {looking ? null : verdict}
    </section>
  );
}
