// Opens and closes the camera for one reader, and ends everything that must end with it.
import type { CodeSeen } from '../worker/scan-format.ts';
import { refuseCamera } from './camera-refusal.ts';
import { inTurn } from './camera-turn.ts';
import { keptCamera, learnBestLens } from './choose-lens.ts';
import { RESTING, type ReaderState } from './reader-state.ts';
import { openSession, type Session } from './session.ts';
import { hasTorch, switchTorch } from './torch.ts';
import { keepAwake } from './wake-lock.ts';
import { watchTrack } from './watch-page.ts';

interface Running {
  readonly session: Session;
  readonly letGo: readonly (() => void)[];
}

export interface KeeperOptions {
  readonly video: HTMLVideoElement;
  readonly onSeen: (seen: CodeSeen) => void;
  readonly onState: (state: ReaderState) => void;
  readonly restAfterMs: number;
}

export interface Keeper {
  readonly open: () => Promise<void>;
  readonly close: (then: ReaderState) => Promise<void>;
  readonly setTorch: (on: boolean) => Promise<boolean>;
  readonly way: () => Session['way'] | null;
  /** Whether the person wants the camera, be it hidden or not. */
  wanted: boolean;
}

/** A timer that starts over each time it is called with true, and ends with false. */
function createRest(afterMs: number, onRest: () => void): (going: boolean) => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  return (going) => {
    clearTimeout(timer);
    if (going) timer = setTimeout(onRest, afterMs);
  };
}

function lookingState({ track, id, way }: Session, torchOn: boolean): ReaderState {
  const lit = torchOn ? 'on' : 'off';
  return { kind: 'looking', cameraId: id, torch: track && hasTorch(track) ? lit : 'none', way };
}

export function createKeeper({ video, onSeen, onState, restAfterMs }: KeeperOptions): Keeper {
  let running: Running | null = null;
  let torchOn = false;
  const rest = createRest(restAfterMs, () => giveUp(RESTING));
  const close = async (then: ReaderState): Promise<void> => {
    const ending = running;
    running = null;
    torchOn = false;
    rest(false);
    for (const end of ending?.letGo ?? []) end();
    await ending?.session.stop();
    onState(then);
  };
  const giveUp = (then: ReaderState): void => {
    keeper.wanted = false;
    void inTurn(() => close(then));
  };
  const setTorch = async (on: boolean): Promise<boolean> => {
    const session = running?.session;
    if (!session?.track || !hasTorch(session.track) || !(await switchTorch(session.track, on))) return false;
    torchOn = on;
    onState(lookingState(session, torchOn));
    return true;
  };
  const openOptions = () => ({
    video,
    cameraId: keptCamera(),
    onSeen: (seen: CodeSeen) => {
      if (!running) return;
      rest(true);
      onSeen(seen);
    },
    onFailed: () => giveUp(refuseCamera('failed')),
    onResized: () => void (torchOn && setTorch(true)),
  });
  const open = async (): Promise<void> => {
    if (!keeper.wanted || running) return;
    if (document.hidden) return onState({ kind: 'paused' });
    onState({ kind: 'starting' });
    const session = await openSession(openOptions());
    if ('refusal' in session) {
      keeper.wanted = false;
      return onState(session.refusal);
    }
    const unwatch = session.track ? [watchTrack(session.track, () => giveUp(refuseCamera('taken')))] : [];
    running = { session, letGo: [...unwatch, keepAwake()] };
    rest(true);
    onState(lookingState(session, torchOn));
    void learnBestLens();
  };
  const keeper: Keeper = {
    open: () => inTurn(open),
    close: (then) => inTurn(() => close(then)),
    setTorch: (on) => inTurn(() => setTorch(on)),
    way: () => running?.session.way ?? null,
    wanted: false,
  };
  return keeper;
}
