// From a text to an answer: the word is painted at once, then the line is written, then it sounds. Scans that come
// quickly wait for each other, so that each is decided by what the one before wrote.
import { useRef, useState } from 'react';
import type { Recorded } from '#domain/movement.ts';
import type { Thing } from '#domain/thing.ts';
import type { VerdictKind } from '../../web/look/verdict.tsx';
import { playVerdict } from '../feedback/play-verdict.ts';
import {
  decideVerdict,
  type Mode,
  type ScanContext,
  type Verdict,
  verdictOn,
} from '../store/decide-verdict.ts';
import { ALREADY_IN_A_ROW, type Already, followAlready, turnRound } from '../store/turn-round.ts';
import { usePage } from './page.tsx';

export interface Shown {
  readonly no: number;
  readonly verdict: Verdict;
  readonly text: string;
  /** What it wrote, once the phone has it. */
  readonly lines: readonly Recorded[];
}

export interface Scanning {
  readonly shown: Shown | null;
  /** Three in a row were already there: ask whether to turn these round. */
  readonly asksToTurn: boolean;
  readonly scan: (text: string, typed: boolean) => void;
  /** A thing that was picked instead of scanned; `code` when a scan named several. */
  readonly pick: (thing: Thing, code: string | null) => void;
  /** Writes what a verdict left to a tap. */
  readonly take: (note: string | null) => void;
  readonly turn: () => void;
  readonly dontTurn: () => void;
  readonly clear: () => void;
}

/** Which of the five answers a verdict looks and sounds like; null for a question. */
export function kindOf(verdict: Verdict): VerdictKind | null {
  switch (verdict.kind) {
    case 'aboard':
    case 'gone-in':
      return 'aboard';
    case 'already-aboard':
    case 'already-in':
      return 'already-aboard';
    case 'somebody-elses':
    case 'unknown':
    case 'bad-code':
      return verdict.kind;
    case 'unreadable':
    case 'inside-itself':
      return 'bad-code';
    default:
      return null;
  }
}

type Written = Extract<Verdict, { kind: 'aboard' | 'already-aboard' | 'gone-in' | 'already-in' }>;
const isAlready = ({ kind }: Verdict) => kind === 'already-aboard' || kind === 'already-in';

/** Whether a verdict is written down at once, without a tap. */
function writesAtOnce(verdict: Verdict): verdict is Written {
  return verdict.kind === 'aboard' || verdict.kind === 'gone-in' || isAlready(verdict);
}

/** `onTurned` is told the mode that the person turned out to be working in. */
export function useScanning(
  mode: Mode,
  contextOf: (mode: Mode) => ScanContext | null,
  onTurned: (mode: Mode) => void,
): Scanning {
  const page = usePage();
  const [shown, setShown] = useState<Shown | null>(null);
  const [row, setRow] = useState<readonly Already[]>([]);
  const rowNow = useRef(row);
  const queue = useRef(Promise.resolve());
  const number = useRef(0);
  const latest = useRef({ mode, contextOf });
  latest.current = { mode, contextOf };

  const follow = (next: readonly Already[]) => {
    rowNow.current = next;
    setRow(next);
  };
  const answer = async (verdict: Verdict, text: string) => {
    number.current += 1;
    const no = number.current;
    setShown({ no, verdict, text, lines: [] });
    const kind = kindOf(verdict);
    if (!writesAtOnce(verdict)) {
      if (kind !== null) playVerdict(kind);
      follow([]);
      return;
    }
    const words = `${verdict.thing.name}: ${verdict.kind.replace('-', ' ')}`;
    const lines = await page.act(verdict.facts, words);
    const [line] = lines ?? [];
    if (lines === null || line === undefined) return;
    if (kind !== null) playVerdict(kind);
    setShown((now) => (now?.no === no ? { ...now, lines } : now));
    const already = isAlready(verdict) ? { thingId: verdict.thing.id, lineId: line.id } : null;
    follow(followAlready(rowNow.current, already));
  };
  const enqueue = (decide: (context: ScanContext) => Verdict, text: string) => {
    queue.current = queue.current.then(async () => {
      const context = latest.current.contextOf(latest.current.mode);
      if (context !== null) await answer(decide(context), text);
    });
  };
  const turn = async () => {
    const other: Mode = mode === 'aboard' ? 'going-in' : 'aboard';
    const context = contextOf(other);
    if (context === null) return;
    const words = other === 'aboard' ? 'Turned round: back aboard.' : 'Turned round: going in.';
    await page.act(turnRound(row, context), words);
    follow([]);
    setShown(null);
    onTurned(other);
  };
  const take = async (note: string | null) => {
    const verdict = shown?.verdict;
    if (verdict?.kind !== 'unknown' && verdict?.kind !== 'somebody-elses') return;
    const facts = verdict.facts.map((fact) => ({ ...fact, note }));
    const words =
      verdict.kind === 'unknown' ? `${verdict.code} is kept.` : `${verdict.thing.name} comes along.`;
    const lines = await page.act(facts, words);
    if (lines !== null) setShown((now) => now && { ...now, lines });
  };
  return {
    shown,
    asksToTurn: row.length >= ALREADY_IN_A_ROW,
    scan: (text, typed) => enqueue((context) => decideVerdict(text, typed, context), text),
    pick: (thing, code) => enqueue((context) => verdictOn(thing, code, context), code ?? thing.name),
    take: (note) => void take(note),
    turn: () => void turn(),
    dontTurn: () => follow([]),
    clear: () => setShown(null),
  };
}
