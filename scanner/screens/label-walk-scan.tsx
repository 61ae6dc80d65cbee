// Scanning while labelling: the code is only read here; what it is put on is tapped.
import { type FormEvent, lazy, Suspense, useEffect, useRef, useState } from 'react';
import { Button } from '../../web/look/button.tsx';
import { listenToKeyboardReader } from '../reader/keyboard-reader.ts';

const CameraView = lazy(() => import('./camera-view.tsx').then((made) => ({ default: made.CameraView })));

export function WalkScan({ onText }: { readonly onText: (text: string, typed: boolean) => void }) {
  const [looking, setLooking] = useState(false);
  const [text, setText] = useState('');
  const latest = useRef(onText);
  latest.current = onText;
  useEffect(() => listenToKeyboardReader((read) => latest.current(read, false)), []);
  const send = (event: FormEvent) => {
    event.preventDefault();
    if (text.trim() === '') return;
    onText(text, true);
    setText('');
  };
  return (
    <section className="scan" aria-label="Scan">
      {looking ? (
        <Suspense fallback={<p className="waiting">The camera starts.</p>}>
          <CameraView onText={(read) => latest.current(read, false)} onClose={() => setLooking(false)} />
        </Suspense>
      ) : null}
      <form className="scan-ways" onSubmit={send}>
        {looking ? null : (
          <Button kind="main" icon="scan" onClick={() => setLooking(true)}>
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
    </section>
  );
}
