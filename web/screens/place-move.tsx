// Moving things from the desk: dropped on a place or chosen by typing, said in one line of the ledger each, with undo.
import './place-move.css';
import { type ReactNode, useRef, useState } from 'react';
import type { Movement } from '#domain/movement.ts';
import {
  factsOfMove,
  findMoveFault,
  MOVED_MAX,
  type Movable,
  type MovePlan,
  reasonsFor,
  sayMoved,
  undoLines,
  writeMany,
} from '../data/place-moves.ts';
import type { Places } from '../data/places.ts';
import { Notice } from '../look/notice.tsx';
import { Progress } from '../look/progress.tsx';
import { UndoBar } from '../look/undo-bar.tsx';
import { MoveDialog } from './place-move-dialog.tsx';
import { showNumber } from './words.ts';

export interface MoveDesk {
  /** Moves these there, or asks where to, how many and why where that has to be said. */
  readonly begin: (moved: readonly Movable[], toId: string | null) => void;
  /** Says why not. */
  readonly refuse: (sentence: string) => void;
  /** Something is being dragged: these, or why what was taken can't be moved; null when it was let go. */
  readonly drag: (what: readonly Movable[] | string | null) => void;
  readonly isDragging: () => boolean;
  readonly drop: (toId: string) => void;
  /** What was done last with its undo, what went wrong, and the question. */
  readonly panel: ReactNode;
}

interface Asking {
  readonly moved: readonly Movable[];
  readonly toId: string | null;
}
type Said =
  | { readonly kind: 'done'; readonly words: string; readonly lines: readonly Movement[] }
  | { readonly kind: 'no'; readonly sentence: string; readonly lines: readonly Movement[] }
  | { readonly kind: 'busy'; readonly done: number; readonly all: number }
  | { readonly kind: 'news'; readonly words: string };

/** Whether a drop says all there is to say: no number and no reason is left open. */
function saysAll(moved: readonly Movable[], kind: Parameters<typeof reasonsFor>[0]): boolean {
  const away = kind === 'party' || kind === 'in-transit';
  return !away && moved.every((one) => one.kind === 'item');
}

function SaidPanel({
  said,
  onUndo,
}: {
  readonly said: Said | null;
  readonly onUndo: (lines: readonly Movement[]) => void;
}) {
  if (said === null) return null;
  if (said.kind === 'busy') return <Progress label="Moving" done={said.done} all={said.all} />;
  if (said.kind === 'news')
    return (
      <Notice kind="news">
        <p>{said.words}</p>
      </Notice>
    );
  const undo =
    said.lines.length === 0 ? null : (
      <UndoBar
        done={said.kind === 'done' ? said.words : `${showNumber(said.lines.length)} were moved before that.`}
        onUndo={() => onUndo(said.lines)}
      />
    );
  return (
    <>
      {said.kind === 'no' ? (
        <Notice kind="trouble">
          <p>{said.sentence}</p>
        </Notice>
      ) : null}
      {undo}
    </>
  );
}

export function useMoveDesk(places: Places): MoveDesk {
  const [asking, setAsking] = useState<Asking | null>(null);
  const [said, setSaid] = useState<Said | null>(null);
  const dragged = useRef<readonly Movable[] | string | null>(null);
  const refuse = (sentence: string) => setSaid({ kind: 'no', sentence, lines: [] });

  const write = async (plan: MovePlan) => {
    setAsking(null);
    const to = places.byId.get(plan.toId);
    const facts = factsOfMove(plan);
    setSaid({ kind: 'busy', done: 0, all: facts.length });
    const { lines, refused } = await writeMany(facts, (done) =>
      setSaid({ kind: 'busy', done, all: facts.length }),
    );
    if (refused) setSaid({ kind: 'no', sentence: refused.sentence, lines });
    else setSaid({ kind: 'done', words: to ? sayMoved(plan.moved, to) : 'Moved.', lines });
  };
  const undo = async (lines: readonly Movement[]) => {
    setSaid({ kind: 'busy', done: 0, all: lines.length });
    const { refused } = await undoLines(lines);
    if (refused) setSaid({ kind: 'no', sentence: refused.sentence, lines });
    else setSaid({ kind: 'news', words: 'Taken back. Everything is where it was before.' });
  };
  const begin: MoveDesk['begin'] = (moved, toId) => {
    setSaid(null);
    if (moved.length === 0) return refuse('Nothing is chosen. Choose a thing with its box, then press m.');
    if (moved.length > MOVED_MAX)
      return refuse(
        `At most ${showNumber(MOVED_MAX)} things move at once. Choose fewer, or move their case.`,
      );
    const to = toId === null ? undefined : places.byId.get(toId);
    if (to === undefined) return setAsking({ moved, toId: null });
    const fault = findMoveFault(moved, to, places);
    if (fault !== null) return refuse(fault);
    if (!saysAll(moved, to.kind)) return setAsking({ moved, toId });
    void write({ moved, toId: to.id, why: reasonsFor(to.kind)[0], spot: null, numbers: new Map() });
  };
  return {
    begin,
    refuse,
    drag: (what) => {
      dragged.current = what;
    },
    isDragging: () => dragged.current !== null,
    drop: (toId) => {
      const what = dragged.current;
      dragged.current = null;
      if (typeof what === 'string') refuse(what);
      else if (what !== null) begin(what, toId);
    },
    panel: (
      <div className="move-panel not-on-paper">
        <SaidPanel said={said} onUndo={undo} />
        {asking ? (
          <MoveDialog
            moved={asking.moved}
            toId={asking.toId}
            places={places}
            onMove={write}
            onClose={() => setAsking(null)}
          />
        ) : null}
      </div>
    ),
  };
}
