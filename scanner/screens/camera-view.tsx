// The camera while it looks for labels, with its light and its lens, and what to do where there is no camera.
import { useEffect, useRef, useState } from 'react';
import { Button } from '../../web/look/button.tsx';
import { Notice } from '../../web/look/notice.tsx';
import type { Camera } from '../reader/choose-lens.ts';
import { createReader, type Reader } from '../reader/reader.ts';
import type { ReaderState } from '../reader/reader-state.ts';

interface CameraViewProps {
  readonly onText: (text: string) => void;
  readonly onClose: () => void;
}

/** Which lens looks; the choice is kept on this phone. Only asked where there are several. */
function Lens({ reader, cameraId }: { readonly reader: Reader | null; readonly cameraId: string }) {
  const [cameras, setCameras] = useState<readonly Camera[]>([]);
  useEffect(() => {
    // Their names are known only now that the camera was allowed.
    let isGone = false;
    void reader?.cameras().then((known) => !isGone && setCameras(known));
    return () => {
      isGone = true;
    };
  }, [reader]);
  if (cameras.length < 2) return null;
  return (
    <label>
      Lens
      <select value={cameraId} onChange={(event) => void reader?.choose(event.target.value)}>
        {cameras.map((camera) => (
          <option key={camera.id} value={camera.id}>
            {camera.name}
          </option>
        ))}
      </select>
    </label>
  );
}

export function CameraView({ onText, onClose }: CameraViewProps) {
  const video = useRef<HTMLVideoElement>(null);
  const reader = useRef<Reader | null>(null);
  const tell = useRef(onText);
  tell.current = onText;
  const [state, setState] = useState<ReaderState>({ kind: 'starting' });
  const [lens, setLens] = useState<string | null>(null);
  const [sentence, setSentence] = useState<string | null>(null);
  useEffect(() => {
    if (video.current === null) return;
    const made = createReader({
      video: video.current,
      onText: (text) => tell.current(text),
      onState: (next) => {
        setState(next);
        if (next.kind === 'looking') setLens(next.cameraId);
      },
    });
    reader.current = made;
    void made.start();
    return () => void made.stop();
  }, []);
  const readPicture = async (file: File | undefined) => {
    if (file === undefined) return;
    const read = await reader.current?.scanPicture(file);
    setSentence(read === undefined || read.kind === 'read' ? null : read.sentence);
  };
  const needsStart = state.kind !== 'looking' && state.kind !== 'starting' && state.kind !== 'paused';
  return (
    <section className="camera" aria-label="Camera">
      <video ref={video} playsInline muted aria-label="What the camera sees" />
      {'sentence' in state ? (
        <Notice kind="news">
          <p>{state.sentence}</p>
        </Notice>
      ) : null}
      {sentence === null ? null : (
        <Notice kind="trouble">
          <p>{sentence}</p>
        </Notice>
      )}
      {lens === null || needsStart ? null : <Lens reader={reader.current} cameraId={lens} />}
      <div className="row">
        {needsStart ? (
          <Button icon="camera" onClick={() => void reader.current?.start()}>
            Start the camera
          </Button>
        ) : null}
        {state.kind === 'looking' && state.torch !== 'none' ? (
          <Button icon="torch" onClick={() => void reader.current?.torch(state.torch !== 'on')}>
            {state.torch === 'on' ? 'Light off' : 'Light on'}
          </Button>
        ) : null}
        <label className="button">
          From a picture
          <input
            type="file"
            accept="image/*"
            className="unseen"
            onChange={(event) => void readPicture(event.target.files?.[0])}
          />
        </label>
        <Button onClick={onClose}>Close the camera</Button>
      </div>
    </section>
  );
}
